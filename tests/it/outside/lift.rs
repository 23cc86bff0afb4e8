use std::f64::consts::PI;

use serde_json::{Value, json};

use super::asked::{answer, near, number};

fn lift(mass_kg: f64, each_kg: f64, team: f64) -> Value {
    answer(
        "lift",
        json!({
            "parts": [{"name": "pole", "count": 1, "length_m": 1, "d_m": 1, "density_kg_m3": mass_kg * 4.0 / PI}],
            "mates": 1, "pairs": 1, "pole_m": 2, "foot_spread_m": 2, "each_kg": each_kg, "team": team,
        }),
    )
}

/// Source: HSE L23, Manual handling, guidance on team lifting: two people two
/// thirds of the sum of what each can lift, three people half. Its examples as
/// passed on by safety trainers: 2 of 20 kg lift 26.6 kg, 2 of 50 kg lift 66,
/// 3 of 50 kg lift 75.
#[test]
fn a_team_lifts_less_than_the_sum_of_its_people() {
    for (people, each_kg, team, mass_kg) in
        [(2, 20.0, 2.0 / 3.0, 26.6), (2, 50.0, 2.0 / 3.0, 66.0), (3, 50.0, 0.5, 75.0)]
    {
        assert_eq!(lift(mass_kg, each_kg, team)["people"], people);
        // The published masses are rounded down by less than 1 kg.
        assert_eq!(lift(mass_kg + 1.0, each_kg, team)["people"], people + 1);
    }
}

/// Source: statics of two equal legs (textbook, from memory): legs that stand
/// as an equilateral triangle carry 0.5774 of the load each and push outward
/// with 0.2887 of it.
#[test]
fn legs_of_an_equilateral_triangle_carry_what_the_textbook_says() {
    let out = lift(1000.0 / 9.80665, 25.0, 0.5);
    near(number(&out, "/per_pair_n"), 1000.0, 1e-9);
    near(number(&out, "/half_angle_deg"), 30.0, 1e-12);
    near(number(&out, "/leg_n"), 577.4, 0.05);
    near(number(&out, "/foot_thrust_n"), 288.7, 0.05);
}
