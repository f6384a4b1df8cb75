//! The defining fixed points, and their temperature at the depth of the sensor and at the pressure of the day.

use crate::constants::its90::{FIXED_POINTS, FixedPointData, HYDROGEN_VAPOUR_PRESSURE, STANDARD_ATMOSPHERE_PA, State};
use crate::error::{Error, Names, Result, finite, positive, text};
use crate::interval::Interval;

/// A fixed point by its name: `e-H2`, `e-H2_17K`, `e-H2_20K`, `Ne`, `O2`, `Ar`, `Hg`, `H2O`, `Ga`, `In`, `Sn`, `Zn`,
/// `Al`, `Ag`, `Au`, `Cu`.
///
/// # Errors
/// [`Error::UnknownName`].
///
/// # Example
/// ```
/// let zinc = calcore::its90::fixed_point("Zn")?;
/// assert_eq!((zinc.t_c, zinc.w_r), (419.527, Some(2.568_917_30)));
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn fixed_point(name: &str) -> Result<&'static FixedPointData> {
    FIXED_POINTS.iter().find(|point| point.name == name).ok_or_else(|| Error::UnknownName {
        what: "fixed point",
        name: name.into(),
        expected: text!("{}", Names(FIXED_POINTS.iter().map(|point| point.name))),
    })
}

/// Temperature of a fixed point where the sensor is, kelvin.
///
/// # Formula
/// T = T90 + (dT/dl) · depth + (dT/dp) · (p − 101 325 Pa); the last term for melting and freezing points only.
///
/// # Arguments
/// `depth_m`: depth of the sensor below the surface of the liquid, m; `pressure_pa`: pressure on that surface, Pa, or
/// `None` for the standard atmosphere. A triple point has a pressure of its own, and takes none.
///
/// # Errors
/// [`Error::UnknownName`], [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative depth or pressure, for a
/// pressure with a triple point, and for a vapour pressure point
/// (see [`hydrogen_vapour_pressure_temperature`]).
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
///
/// # Example
/// ```
/// use calcore::its90::fixed_point_temperature;
/// // 0.265 m deep in a triple-point-of-water cell: 0.19 mK lower.
/// assert!((fixed_point_temperature("H2O", 0.265, None)? - 273.159_806_55).abs() < 1e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn fixed_point_temperature(name: &str, depth_m: f64, pressure_pa: Option<f64>) -> Result<f64> {
    let point = fixed_point(name)?;
    crate::error::not_negative("depth", depth_m, "m")?;
    let (Some(k_per_m), Some(k_per_pa)) = (point.k_per_m, point.k_per_pa) else {
        return Err(Error::InvalidValue {
            what: "depth",
            value: depth_m,
            unit: "m",
            requirement: text!("{name} is set by its vapour pressure and has no effect of depth of its own"),
        });
    };
    let by_pressure = match (point.state, pressure_pa) {
        (_, None) => 0.0,
        (State::MeltingPoint | State::FreezingPoint, Some(pa)) => {
            k_per_pa * (positive("pressure", pa, "Pa")? - STANDARD_ATMOSPHERE_PA)
        }
        (State::TriplePoint | State::VapourPressurePoint, Some(pa)) => {
            return Err(Error::InvalidValue {
                what: "pressure",
                value: finite("pressure", pa)?,
                unit: "Pa",
                requirement: text!("{name} is a triple point with a pressure of its own: give none"),
            });
        }
    };
    Ok(point.t_k + k_per_m * depth_m + by_pressure)
}

/// Temperature of equilibrium hydrogen by its vapour pressure, kelvin, near 17.035 K or 20.27 K.
///
/// # Formula
/// T/K = 17.035 + (p/kPa − 33.3213)/13.32 from 17.025 K to 17.045 K; T/K = 20.27 + (p/kPa − 101.292)/30 from 20.26 K
/// to 20.28 K.
///
/// # Arguments
/// `name`: `e-H2_17K` or `e-H2_20K`; `kpa`: vapour pressure, kPa.
///
/// # Errors
/// [`Error::UnknownName`], [`Error::NotFinite`], [`Error::OutOfRange`] in kelvin.
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.2 (equations from memory).
pub fn hydrogen_vapour_pressure_temperature(name: &str, kpa: f64) -> Result<f64> {
    let equation = HYDROGEN_VAPOUR_PRESSURE.iter().find(|known| known.name == name).ok_or_else(|| {
        let expected = text!("{}", Names(HYDROGEN_VAPOUR_PRESSURE.iter().map(|known| known.name)));
        Error::UnknownName { what: "vapour pressure point", name: name.into(), expected }
    })?;
    let t_k = equation.t_k + (positive("vapour pressure", kpa, "kPa")? - equation.kpa) / equation.kpa_per_k;
    let range = Interval {
        what: "temperature of the vapour pressure point",
        unit: "K",
        low: equation.low_k,
        high: equation.high_k,
    };
    range.check(t_k)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::its90::reference_ratio;

    // Witness: table 1 of the document. Half of the last printed digit, and not more.
    #[test]
    fn the_reference_function_reproduces_table_1_to_its_eight_decimals() {
        let mut compared = 0;
        for point in FIXED_POINTS.iter().filter(|point| point.name != "H2O") {
            if let Some(w_r) = point.w_r {
                let computed = reference_ratio(point.t_k).unwrap();
                assert!((computed - w_r).abs() <= 0.5e-8, "{}: {computed} against {w_r}", point.name);
                compared += 1;
            }
        }
        assert_eq!(compared, 11);
    }

    #[test]
    fn kelvin_and_celsius_of_a_point_agree() {
        for point in &FIXED_POINTS {
            // One unit in the last place of a number below 2048.
            assert!((point.t_k - 273.15 - point.t_c).abs() < 2.3e-13, "{}", point.name);
        }
    }

    // Witness: by hand from table 2. Gallium: −1.2 mK/m · 0.1 m = −0.12 mK; −2.0e-8 K/Pa · −1325 Pa = +0.0265 mK.
    #[test]
    fn depth_and_pressure() {
        let gallium = fixed_point_temperature("Ga", 0.1, Some(100_000.0)).unwrap();
        assert!((gallium - (302.9146 - 0.12e-3 + 0.0265e-3)).abs() < 1e-12);
        let silver = fixed_point_temperature("Ag", 0.2, None).unwrap();
        assert!((silver - (1234.93 + 1.08e-3)).abs() < 1e-12);
        assert_eq!(fixed_point_temperature("H2O", 0.0, None), Ok(273.16));
        assert_eq!(fixed_point_temperature("H2O", 0.0, Some(1e5)).map_err(|e| e.code()), Err(103));
        assert_eq!(fixed_point_temperature("Hg", -0.1, None).map_err(|e| e.code()), Err(103));
        assert_eq!(fixed_point_temperature("e-H2_17K", 0.1, None).map_err(|e| e.code()), Err(103));
        assert_eq!(fixed_point_temperature("Pt", 0.1, None).map_err(|e| e.code()), Err(104));
    }

    // Witness: the nominal points of the equations, and one kilopascal more by hand.
    #[test]
    fn hydrogen() {
        assert_eq!(hydrogen_vapour_pressure_temperature("e-H2_17K", 33.3213), Ok(17.035));
        let warmer = hydrogen_vapour_pressure_temperature("e-H2_20K", 101.292 + 0.15).unwrap();
        assert!((warmer - 20.275).abs() < 1e-14);
        assert_eq!(hydrogen_vapour_pressure_temperature("e-H2_20K", 103.0).map_err(|e| e.code()), Err(102));
        assert_eq!(hydrogen_vapour_pressure_temperature("Ne", 103.0).map_err(|e| e.code()), Err(104));
    }
}
