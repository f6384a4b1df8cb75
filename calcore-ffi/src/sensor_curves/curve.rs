//! Section "sensor curves": every kind of curve behind one handle.

use crate::guard::fill;
use crate::handle::{Handle, held, release};
use crate::message::calcore_error;
use crate::record::records;
use crate::status::*;
use calcore::curves::*;
use calcore::fit::CorrectedCurve;
use calcore::interval::Interval;
use calcore::num::enclosure::Enclosure;
use calcore::num::jet::Jet;
use std::sync::Arc;

/// A sensor curve of any kind: what an element gives at a temperature, and the temperature that gives it. The signal is
/// a resistance in ohm, for a thermocouple an emf in mV, or for a table what its rows are.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_curve_free.
pub struct calcore_curve {
    _opaque: [u8; 0],
}

/// The kinds of curve behind the handle.
#[derive(Debug, Clone)]
pub(crate) enum Curve {
    Cvd(CallendarVanDusen),
    Polynomial(PolynomialRtd),
    Sprt(Sprt),
    SteinhartHart(SteinhartHart),
    Beta(BetaThermistor),
    Table(TabulatedCurve),
    Thermocouple(Thermocouple),
    Corrected(Box<CorrectedCurve<Curve>>),
}

impl Curve {
    pub(crate) fn sensor(&self) -> &dyn SensorCurve {
        match self {
            Self::Cvd(curve) => curve,
            Self::Polynomial(curve) => curve,
            Self::Sprt(curve) => curve,
            Self::SteinhartHart(curve) => curve,
            Self::Beta(curve) => curve,
            Self::Table(curve) => curve,
            Self::Thermocouple(curve) => curve,
            Self::Corrected(curve) => &**curve,
        }
    }
}

impl Curve {
    /// The curve itself, to be kept: its own functions for blocks come along.
    pub(crate) fn shared(&self) -> Arc<dyn SensorCurve> {
        match self {
            Self::Cvd(curve) => Arc::new(*curve),
            Self::Polynomial(curve) => Arc::new(*curve),
            Self::Sprt(curve) => Arc::new(*curve),
            Self::SteinhartHart(curve) => Arc::new(*curve),
            Self::Beta(curve) => Arc::new(*curve),
            Self::Table(curve) => Arc::new(curve.clone()),
            Self::Thermocouple(curve) => Arc::new(*curve),
            Self::Corrected(curve) => Arc::new((**curve).clone()),
        }
    }
}

/// So that a deviation can be added to any kind.
impl SensorCurve for Curve {
    fn range(&self) -> Interval {
        self.sensor().range()
    }

    fn signal_range(&self) -> Interval {
        self.sensor().signal_range()
    }

    fn extrapolation_range(&self) -> Interval {
        self.sensor().extrapolation_range()
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        self.sensor().raw_signal(t_c)
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        self.sensor().raw_slope(t_c)
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        self.sensor().raw_temperature(signal)
    }

    fn raw_signal_block(&self, t_c: &[f64], signal: &mut [f64]) {
        self.sensor().raw_signal_block(t_c, signal);
    }

    fn raw_slope_block(&self, t_c: &[f64], slope: &mut [f64]) {
        self.sensor().raw_slope_block(t_c, slope);
    }

    fn raw_temperature_block(&self, signal: &[f64], t_c: &mut [f64]) {
        self.sensor().raw_temperature_block(signal, t_c);
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        self.sensor().raw_jet(t_c)
    }

    fn junction_signal(&self, t_c: f64) -> calcore::Result<f64> {
        self.sensor().junction_signal(t_c)
    }

    fn junction_slope(&self, t_c: f64) -> calcore::Result<f64> {
        self.sensor().junction_slope(t_c)
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        self.sensor().joint_from(t_c)
    }
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_curve {
    type Held = Curve;
    const WHAT: &'static str = "calcore_curve";
    const TAG: u64 = 0x7672_635f_6363_0006;
}

/// The ranges of a curve.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_curve_range {
    /// sizeof(calcore_curve_range), set by the caller.
    pub size: usize,
    /// Lower end of the temperatures in which the curve holds, °C.
    pub low_c: f64,
    /// Upper end of them, °C.
    pub high_c: f64,
    /// Least signal over that range.
    pub low_signal: f64,
    /// Largest signal over that range.
    pub high_signal: f64,
    /// Lower end of how far an extrapolation may go, °C.
    pub extrapolation_low_c: f64,
    /// Upper end of how far an extrapolation may go, °C.
    pub extrapolation_high_c: f64,
}

records!(calcore_curve_range);

/// The ranges of a curve. Set `range->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_describe(
    curve: *const calcore_curve,
    range: *mut calcore_curve_range,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, range, || {
            let curve = held(curve)?.sensor();
            let (t, signal, beyond) = (curve.range(), curve.signal_range(), curve.extrapolation_range());
            Ok(calcore_curve_range {
                size: 0,
                low_c: t.low,
                high_c: t.high,
                low_signal: signal.low,
                high_signal: signal.high,
                extrapolation_low_c: beyond.low,
                extrapolation_high_c: beyond.high,
            })
        })
    }
}

/// Releases a curve. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_curve_free(curve: *mut calcore_curve) {
    // SAFETY: the contract of the header.
    unsafe { release(curve) }
}
