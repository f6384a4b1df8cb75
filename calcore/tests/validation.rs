//! Every published value that the core can compute.
#![cfg(feature = "validation")]
#![allow(clippy::expect_used)]

#[test]
fn every_published_value_is_reproduced() {
    let checks = calcore::validation::checks().expect("no function refuses a published value");
    let failed: Vec<String> = checks
        .iter()
        .filter(|check| !check.passes())
        .map(|check| {
            format!(
                "{}\n    published {} {unit}, computed {} {unit}, difference {:e}, tolerance {:e}\n    {}",
                check.quantity,
                check.published,
                check.computed,
                check.computed - check.published,
                check.tolerance,
                check.source,
                unit = check.unit
            )
        })
        .collect();
    assert!(failed.is_empty(), "{} of {} differ:\n{}", failed.len(), checks.len(), failed.join("\n"));
    // A file that is read as empty must not pass for one that holds.
    assert!(checks.len() > 1000, "only {} checks", checks.len());
}
