using System.Text.Json;
using System.Text.Json.Serialization;

namespace Offtape.Web.Guarding;

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(Sessions.Kept))]
internal sealed partial class GuardJson : JsonSerializerContext;
