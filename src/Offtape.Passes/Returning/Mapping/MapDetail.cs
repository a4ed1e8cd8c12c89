namespace Offtape.Passes.Mapping;

/// <summary>How closely a map is looked at in its last passes.</summary>
internal enum MapDetail
{
    /// <summary>Wow and drift: enough for one constant ratio, which keeps all the rest.</summary>
    Wow,

    /// <summary>Flutter too, as far as the sound shows it.</summary>
    Flutter,

    /// <summary>The stripe sounds all the time, and broadly: worth the closest look.</summary>
    Stripe,
}
