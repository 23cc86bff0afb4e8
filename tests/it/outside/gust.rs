use serde_json::json;

use super::asked::{answer, near, number};

fn q_pa(air_kg_m3: f64, gust_m_s: f64) -> f64 {
    let gust = json!({"c_net": 1.4, "air_kg_m3": air_kg_m3, "gust_m_s": gust_m_s, "links": []});
    number(&answer("gust", gust), "/q_pa")
}

/// Source: a published worked example to EN 1991-1-4: a basic velocity of
/// 26 m/s gives 0.422 kN/m².
#[test]
fn pressure_is_that_of_a_published_example() {
    near(q_pa(1.25, 26.0) / 1000.0, 0.422, 6e-4);
}

/// Source: ASCE 7, 0.613 V² in N/m² and 0.00256 V² in lb/ft² with V in miles an
/// hour (from memory).
#[test]
fn pressure_is_that_of_the_american_rule() {
    near(q_pa(1.226, 50.0), 0.613 * 2500.0, 1e-9);
    let psf = q_pa(1.226, 100.0 * 0.44704) / 47.880_26;
    // The factor is printed to three digits.
    near(psf, 25.6, 0.05);
}
