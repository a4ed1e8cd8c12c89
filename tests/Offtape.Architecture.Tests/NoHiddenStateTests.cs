using System.Collections;
using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text;

namespace Offtape.Architecture.Tests;

/// <summary>Data flows as immutable values; nothing is remembered in static fields behind the caller's back.</summary>
public sealed class NoHiddenStateTests
{
    public static TheoryData<string> Rooms => [.. House.BuiltRooms];

    [Theory, MemberData(nameof(Rooms))]
    public void No_static_field_can_be_assigned_again(string room) =>
        Assert.Empty(StaticFields(room).Where(f => !f.IsLiteral && !f.IsInitOnly).Select(Name));

    /// <summary>A read-only field may still hold something that changes: lists, dictionaries, sets, text being built.</summary>
    [Theory, MemberData(nameof(Rooms))]
    public void No_static_field_holds_a_collection_that_can_grow(string room) =>
        Assert.Empty(StaticFields(room).Where(f => CanGrow(f.FieldType)).Select(f => $"{Name(f)}: {f.FieldType.Name}"));

    private static IEnumerable<FieldInfo> StaticFields(string room) =>
        House
            .AssemblyOf(room)
            .GetTypes()
            .Where(t => !IsMadeByTheCompiler(t))
            .SelectMany(t => t.GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly))
            .Where(f => !IsMadeByTheCompiler(f));

    private static bool CanGrow(Type type) =>
        type == typeof(StringBuilder)
        || type.Namespace is "System.Collections.Concurrent"
        || type.IsGenericType
            && type.GetGenericTypeDefinition() is var generic
            && (
                generic == typeof(List<>)
                || generic == typeof(Dictionary<,>)
                || generic == typeof(HashSet<>)
                || generic == typeof(Queue<>)
                || generic == typeof(Stack<>)
                || generic == typeof(IList<>)
                || generic == typeof(IDictionary<,>)
            )
        || type == typeof(ArrayList)
        || type == typeof(Hashtable);

    // Lambdas, source-generated serialisers and regular expressions keep caches of their own.
    private static bool IsMadeByTheCompiler(MemberInfo member) =>
        member.Name.Contains('<', StringComparison.Ordinal)
        || member.IsDefined(typeof(CompilerGeneratedAttribute), false)
        || member.IsDefined(typeof(System.CodeDom.Compiler.GeneratedCodeAttribute), false)
        || member.DeclaringType is { } outer && IsMadeByTheCompiler(outer)
        || member is Type type && typeof(System.Text.Json.Serialization.JsonSerializerContext).IsAssignableFrom(type);

    private static string Name(FieldInfo field) => $"{field.DeclaringType!.FullName}.{field.Name}";
}
