//! Section "effects": what an influence does to a reading.

use crate::guard::fill;
use crate::handle::held;
use crate::message::calcore_error;
use crate::record::records;
use crate::sensor_curves::curve::calcore_curve;
use crate::status::*;
use calcore::circuit::Effect;
use calcore::curves::SensorCurve;

/// What a cause does to the reading of a sensor.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_effect {
    /// sizeof(calcore_effect), set by the caller.
    pub size: usize,
    /// Change of the signal, in its unit.
    pub signal_change: f64,
    /// Error of the temperature read from the changed signal: read minus true, K.
    pub error_k: f64,
    /// Change of that error per unit of the cause: its sensitivity in a budget.
    pub error_k_per_unit: f64,
}

records!(calcore_effect);

/// An effect on the reading of a curve.
///
/// # Safety
/// The pointers are null or the caller's.
pub(super) unsafe fn effect_on(
    err: *mut calcore_error,
    curve: *const calcore_curve,
    effect: *mut calcore_effect,
    compute: impl FnOnce(&dyn SensorCurve) -> calcore::Result<Effect>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        fill(err, effect, || {
            let found = compute(held(curve)?.sensor())?;
            Ok(calcore_effect {
                size: 0,
                signal_change: found.signal_change,
                error_k: found.error_k,
                error_k_per_unit: found.error_k_per_unit,
            })
        })
    }
}
