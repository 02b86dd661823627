//! Keys of the duty cycle: segments, equivalent loads, details with their S-N curves, broadband loads.

use super::{Choice, Condition, KeySpec, Kind, Range};

const MEAN_RULES: &[Choice] = &[
    Choice::new("none", "the mean is ignored"),
    Choice::new("goodman", "straight line to the ultimate strength; a compressive mean helps"),
    Choice::new("gerber", "parabola to the ultimate strength, for means of 0 and more"),
    Choice::new("soderberg", "straight line to the yield strength, the most cautious"),
    Choice::new("smith_watson_topper", "root of maximum times amplitude"),
    Choice::new("walker", "maximum times a power of range over maximum"),
];

const ULTIMATE: Condition = Condition::OneOf("mean_stress", &["goodman", "gerber"]);
const STRESS: Range = Range::above(0.0, 1e5);

pub(super) fn keys() -> Vec<KeySpec> {
    let mut keys = vec![
        KeySpec::new("duty", "flights_per_life", Kind::Number(Range::above(0.0, 1e9)), "1")
            .doc("Flights in the life that is counted. Twice as many do twice the damage."),
        KeySpec::new("duty", "samples_per_revolution", Kind::Integer(Range::closed(64.0, 7200.0)), "1")
            .or("720")
            .doc(
                "Samples of a revolution that are counted. 720 miss the largest range by about 3e-5 of it with orders \
                 up to 6; high orders need more.",
            ),
    ];
    keys.extend(segment_keys());
    keys.extend(equivalent_keys());
    keys.extend(detail_keys());
    keys.extend(density_keys());
    keys
}

fn segment_keys() -> Vec<KeySpec> {
    const GROUP: &str = "duty.segment.NAME";
    let number = |name, range, unit| KeySpec::new(GROUP, name, Kind::Number(range), unit);
    let angle = Range::closed(-90.0, 90.0);
    vec![
        KeySpec::text(GROUP, "name", Kind::Name).doc("Name, unique over segments."),
        number("duration_s", Range::above(0.0, 1e7), "s")
            .doc("How long the segment lasts each time. Twice as long does twice the damage.")
            .remedy("a segment that takes no time belongs to no flight: leave it out"),
        KeySpec::new(GROUP, "repeats", Kind::Integer(Range::closed(1.0, 1000.0)), "1").or("1").doc(
            "How often the segment comes in a flight. Segments that come again are flown in further rounds, in the order of the \
             file: climb and approach with repeats = 3 are three circuits.",
        ),
        number("airspeed_m_s", Range::closed(0.0, 340.0), "m/s")
            .or_absent()
            .doc("True airspeed; without it that of [flight]."),
        number("altitude_m", Range::closed(-1000.0, 20_000.0), "m")
            .or_absent()
            .doc("Geopotential altitude; without it that of [flight]."),
        number("mass_kg", Range::above(0.0, 100_000.0), "kg").or_absent().doc(
            "Mass in level flight, which gives the angle of attack. A heavier aircraft flies at a larger one.",
        ),
        number("angle_of_attack_deg", angle, "deg").or_absent().when(Condition::Without("mass_kg")).doc(
            "Angle of attack; without it and `mass_kg` what [trim] makes of it, or that of [flight].",
        ),
        number("sideslip_deg", angle, "deg").or_absent().doc("Sideslip; without it that of [flight]."),
        number("thrust_n", Range::closed(-1e6, 1e6), "N").or_absent().doc(
            "Mean thrust of all propellers to be met by what [trim] adjusts, the shaft speed unless told otherwise. More thrust loads the \
             mount more.",
        ),
        number("speed_rpm", Range::above(0.0, 200_000.0), "rpm")
            .or_absent()
            .when(Condition::Without("thrust_n"))
            .doc("Shaft speed; without it and `thrust_n` what [trim] makes of it, or that of [propeller]."),
        number("pitch_offset_deg", angle, "deg")
            .or_absent()
            .doc("Added to every blade angle; without it that of [propeller]."),
        number("flap_deflection_deg", Range::closed(-60.0, 60.0), "deg")
            .or_absent()
            .doc("Deflection of the flap, trailing edge down positive; without it that of the case."),
        KeySpec::text(GROUP, "flap", Kind::Text)
            .or_absent()
            .when(Condition::With("flap_deflection_deg"))
            .doc("Which flap, as \"wing.inner\" for `surface.wing.flap.inner`; not needed where the case has one flap."),
    ]
}

fn equivalent_keys() -> Vec<KeySpec> {
    const GROUP: &str = "duty.equivalent.NAME";
    vec![
        KeySpec::text(GROUP, "name", Kind::Name).doc("Name, unique over equivalent loads."),
        KeySpec::new(GROUP, "exponent", Kind::Number(Range::closed(1.0, 30.0)), "1").doc(
            "Exponent m of the S-N line N ~ range^-m, a positive number: about 3 for welds, 5 for machined metal, 10 for \
             composites (common practice). A larger one weighs the few large cycles more.",
        ),
        KeySpec::new(GROUP, "cycles", Kind::Number(Range::above(0.0, 1e15)), "1")
            .or("1e6")
            .doc("Cycles at which the equivalent range is told. More cycles, a smaller range."),
    ]
}

fn detail_keys() -> Vec<KeySpec> {
    const GROUP: &str = "duty.detail.NAME";
    let number = |name, range, unit| KeySpec::new(GROUP, name, Kind::Number(range), unit);
    vec![
        KeySpec::text(GROUP, "name", Kind::Name).doc("Name, unique over details."),
        KeySpec::text(GROUP, "load", Kind::Name).doc(
            "The load that stresses the detail: a hub load such as \"thrust\" or \"pitching_moment\", or a force of an isolator, its name \
             with the axis.",
        ),
        number("stress_mpa_per_load", Range::closed(-1e6, 1e6), "MPa/N or MPa/(N m)").doc(
            "Stress at the detail, notch included, for 1 N (1 N m) of the load; negative where the load presses. 1 reads \
             the curve in N (N m). Twice as much is 2^slope times the damage.",
        ),
        number("range_mpa", STRESS, "MPa")
            .doc("Stress range, maximum minus minimum, fully reversed, that breaks the detail after `cycles`."),
        number("cycles", Range::above(0.0, 1e15), "1")
            .doc("Cycles to failure at `range_mpa`.")
            .remedy("a count of cycles is positive"),
        number("slope", Range::above(0.0, 50.0), "1")
            .doc(
                "Exponent m of N = cycles (range_mpa/range)^m, a positive number. A larger one weighs the few large cycles \
                 more.",
            )
            .remedy("give m of N = cycles (range_mpa/range)^m as a positive number"),
        number("endurance_range_mpa", Range::closed(0.0, 1e5), "MPa")
            .or("0.0")
            .doc("Stress range below which a cycle does nothing; 0 counts all, which is the cautious choice."),
        KeySpec::text(GROUP, "mean_stress", Kind::Choice(MEAN_RULES))
            .or("\"goodman\"")
            .doc("How the mean of a cycle acts."),
        number("ultimate_mpa", STRESS, "MPa")
            .when(ULTIMATE)
            .doc("Ultimate strength; a mean that reaches it breaks the detail at once."),
        number("yield_mpa", STRESS, "MPa")
            .when(Condition::Is("mean_stress", "soderberg"))
            .doc("Yield strength; a mean that reaches it breaks the detail at once."),
        number("walker_exponent", Range::closed(0.0, 1.0), "1")
            .or("0.5")
            .when(Condition::Is("mean_stress", "walker"))
            .doc("Exponent of Walker's rule; 0.5 is Smith, Watson and Topper's, 1 ignores the mean."),
    ]
}

fn density_keys() -> Vec<KeySpec> {
    const GROUP: &str = "duty.density.NAME";
    let text = |name, kind| KeySpec::text(GROUP, name, kind);
    vec![
        text("name", Kind::Name).doc("Name, unique over densities."),
        text("load", Kind::Name).doc("The load that the density adds to, named as in a detail."),
        text("segment", Kind::Name).or_absent().doc("Segment that the density acts in; without it all."),
        text("file", Kind::File).doc(
            "CSV table frequency_hz,density of the one-sided spectral density, N2/Hz or (N m)2/Hz, frequencies rising. \
             Straight lines lie between the rows, nothing outside them; where the source draws straight lines on logarithmic scales, give rows close together. \
             Its cycles are counted by Dirlik, as a Gaussian load.",
        ),
    ]
}
