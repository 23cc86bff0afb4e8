use serde_json::json;
use spanwright::reckon::tolerance::tolerance_factor;

use super::asked::{answer, near, number};

/// Source: EN 14358:2016, table 1 (k for the 5 % fractile at 75 %), from a
/// transcription.
#[test]
fn factors_are_those_of_the_standard() {
    for (n, k) in [
        (3, 3.15),
        (5, 2.46),
        (10, 2.10),
        (15, 1.99),
        (20, 1.93),
        (30, 1.87),
        (50, 1.81),
        (100, 1.76),
        (500, 1.69),
    ] {
        near(tolerance_factor(n, 0.75, 0.05), k, 0.005);
    }
}

/// Source: the non-central t integrated to 22 digits with mpmath 1.3.0; scipy
/// 1.17.1, stats.nct.ppf, gives the same to its last digits.
#[test]
fn factors_are_those_of_long_arithmetic() {
    for (n, confidence, fractile, k) in [
        (3, 0.75, 0.05, 3.151_842_138_184_501),
        (5, 0.75, 0.05, 2.463_383_243_175_297),
        (3, 0.5, 0.001, 3.688_210_374_994_423),
        (3, 0.999, 0.001, 99.384_462_350_356_34),
        (3, 0.999, 0.5, 12.890_571_496_259_066),
        (4, 0.95, 0.01, 7.042_362_575_355_047),
        (10, 0.5, 0.25, 0.694_896_149_152_203_1),
        (10, 0.999, 0.001, 8.932_310_839_519_844),
        (30, 0.9, 0.1, 1.657_064_913_130_377),
        (100, 0.95, 0.01, 2.683_957_855_691_278),
        (100, 0.5, 0.499, 0.002_512_968_673_461_65),
        (300, 0.999, 0.001, 3.570_677_829_320_658),
        (500, 0.75, 0.05, 1.692_863_512_148_236_5),
        (1000, 0.5, 0.001, 3.091_219_173_036_118_3),
        (1000, 0.999, 0.001, 3.339_707_006_599_3),
        (1000, 0.999, 0.5, 0.097_980_338_690_067_26),
    ] {
        near(tolerance_factor(n, confidence, fractile) / k, 1.0, 1e-10);
    }
}

/// Source: numpy 2.4.6 (mean and standard deviation of logarithms) and scipy
/// 1.17.1 (stats.nct.ppf) on five invented breaks.
#[test]
fn five_breaks_have_the_strength_that_others_find() {
    let out = answer("proof", json!({"breaks_n": [410, 455, 390, 480, 430], "factor": 4}));
    near(number(&out, "/mean_ln"), 6.068_034_526_072_507, 1e-14);
    near(number(&out, "/s_ln"), 0.082_166_363_487_318_14, 1e-14);
    near(number(&out, "/characteristic_n"), 352.703_331_571_682_1, 1e-8);
    near(number(&out, "/working_n"), 352.703_331_571_682_1 / 4.0, 1e-8);
}
