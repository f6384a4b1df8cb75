//! What went wrong, written into the caller's struct.

use crate::array::{Output, output_of};
use crate::record::Record;
use crate::status::*;
use calcore::Error;
use std::ffi::{CStr, c_char};
use std::ptr;

/// What is known about a failure. The struct and the buffer behind `message` are the caller's.
///
/// Before a call: zero it, set `size` to sizeof(calcore_error) and, if a text is wanted, `message` and `message_cap`.
/// Written only when a call fails; one thread at a time.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_error {
    /// sizeof(calcore_error), set by the caller.
    pub size: usize,
    /// The status that the call returned.
    pub code: calcore_status,
    /// How many elements of an array offend; 0 where no array is concerned.
    pub count: u32,
    /// Buffer of the caller for one line of text; may be null.
    pub message: *mut c_char,
    /// Bytes in that buffer. A longer text is cut between characters; it always ends with a zero byte.
    pub message_cap: usize,
    /// The offending value; NaN where there is none.
    pub value: f64,
    /// Lower limit; NaN where there is none.
    pub low: f64,
    /// Upper limit; NaN where there is none.
    pub high: f64,
    /// Place of the first offending element (or row of a matrix), counted from 0; -1 where there is none.
    pub index: i64,
    /// Unit of value and limits, such as "°C", "ohm" or "K"; empty where there is none.
    pub unit: [c_char; 16],
    /// The quantity that is wrong, such as "temperature"; empty where there is none.
    pub quantity: [c_char; 64],
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_error {
    const WHAT: &'static str = "calcore_error";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Why a call fails: an error of the core, or a fault at the border.
pub(crate) enum Failure {
    /// From the core, passed on as it is.
    Core(Error),
    /// At the border.
    Border {
        code: calcore_status,
        message: String,
        /// The offending value; NaN where there is none.
        value: f64,
        /// Upper limit; NaN where there is none.
        high: f64,
    },
}

impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        Self::Core(error)
    }
}

impl Failure {
    pub(crate) fn border(code: calcore_status, message: String) -> Self {
        Self::Border { code, message, value: f64::NAN, high: f64::NAN }
    }

    /// A pointer that is null.
    pub(crate) fn null(what: &str) -> Self {
        Self::border(CALCORE_E_NULL, format!("{what} is a null pointer"))
    }

    /// An integer that is none of the choices.
    pub(crate) fn option(what: &str, value: i32, expected: &str) -> Self {
        let message = format!("{what} is {value}: expected {expected}");
        Self::Border { code: CALCORE_E_OPTION, message, value: f64::from(value), high: f64::NAN }
    }

    /// An element that is not there.
    pub(crate) fn index(what: &str, index: usize, count: usize) -> Self {
        let message = format!("{what} {index} is not there: there are {count}, counted from 0");
        let high = if count > 0 { (count - 1) as f64 } else { f64::NAN };
        Self::Border { code: CALCORE_E_INDEX, message, value: index as f64, high }
    }

    /// An error of a computation with the caller's model: where the model is to blame, with the status it returned last.
    pub(crate) fn of_model(error: Error, last: Option<calcore_status>) -> Self {
        match (&error, last) {
            (Error::ModelFailed { .. }, Some(status)) => {
                let (code, message) = (error.code(), error.to_string());
                Self::Border { code, message, value: f64::from(status), high: f64::NAN }
            }
            _ => Self::Core(error),
        }
    }

    pub(crate) fn code(&self) -> calcore_status {
        match self {
            Self::Core(error) => error.code(),
            Self::Border { code, .. } => *code,
        }
    }

    fn text(&self) -> String {
        match self {
            Self::Core(error) => error.to_string(),
            Self::Border { message, .. } => message.clone(),
        }
    }

    /// Everything but the text, which needs the caller's buffer.
    fn details(&self) -> calcore_error {
        let mut e = calcore_error {
            size: size_of::<calcore_error>(),
            code: self.code(),
            count: 0,
            message: ptr::null_mut(),
            message_cap: 0,
            value: f64::NAN,
            low: f64::NAN,
            high: f64::NAN,
            index: -1,
            unit: [0; 16],
            quantity: [0; 64],
        };
        let error = match self {
            Self::Core(error) => error,
            Self::Border { value, high, .. } => {
                (e.value, e.high) = (*value, *high);
                return e;
            }
        };
        let mut place = None;
        match error {
            Error::NotFinite { what, value, position } => {
                e.value = *value;
                place = *position;
                copy_text(what, &mut e.quantity);
            }
            Error::OutOfRange { what, value, low, high, unit, position } => {
                (e.value, e.low, e.high) = (*value, *low, *high);
                place = *position;
                copy_text(what, &mut e.quantity);
                copy_text(unit, &mut e.unit);
            }
            Error::InvalidValue { what, value, unit, .. } => {
                e.value = *value;
                copy_text(what, &mut e.quantity);
                copy_text(unit, &mut e.unit);
            }
            Error::LengthMismatch { what, expected, found } => {
                (e.value, e.low, e.high) = (*found as f64, *expected as f64, *expected as f64);
                copy_text(what, &mut e.quantity);
            }
            Error::TooFewPoints { what, needed, found, .. } => {
                (e.value, e.low) = (*found as f64, *needed as f64);
                copy_text(what, &mut e.quantity);
            }
            Error::NotPositiveDefinite { what, row } => {
                e.index = i64::try_from(*row).unwrap_or(-1);
                copy_text(what, &mut e.quantity);
            }
            Error::NoConvergence { what, last, unit, .. } => {
                e.value = *last;
                copy_text(what, &mut e.quantity);
                copy_text(unit, &mut e.unit);
            }
            Error::UnknownName { what, .. } | Error::Undetermined { what, .. } => copy_text(what, &mut e.quantity),
            _ => {}
        }
        if let Some(place) = place {
            e.index = i64::try_from(place.index).unwrap_or(-1);
            e.count = u32::try_from(place.count).unwrap_or(u32::MAX);
        }
        e
    }

    /// Writes the failure into the caller's struct, if there is one.
    ///
    /// # Safety
    /// `err` is null or a struct whose `size` was checked, with a buffer as its fields say.
    pub(crate) unsafe fn report(&self, err: *mut calcore_error) {
        if err.is_null() {
            return;
        }
        // SAFETY: the caller promises a whole struct.
        let asked = unsafe { err.read() };
        let details = calcore_error {
            size: asked.size,
            message: asked.message,
            message_cap: asked.message_cap,
            ..self.details()
        };
        // SAFETY: as above.
        unsafe { err.write(details) };
        if !asked.message.is_null() && asked.message_cap > 0 && isize::try_from(asked.message_cap).is_ok() {
            let text = self.text();
            let kept = cut(&text, asked.message_cap - 1);
            // SAFETY: the buffer holds message_cap bytes, of which kept.len() + 1 are written.
            unsafe {
                ptr::copy_nonoverlapping(kept.as_ptr().cast(), asked.message, kept.len());
                asked.message.add(kept.len()).write(0);
            }
        }
    }
}

/// As much of a text as fits into `room` bytes, cut between characters, and before a zero byte inside it.
pub(crate) fn cut(text: &str, room: usize) -> &str {
    let text = text.split('\0').next().unwrap_or_default();
    let end = (0..=room.min(text.len())).rev().find(|&end| text.is_char_boundary(end));
    &text[..end.unwrap_or(0)]
}

/// Copies a text into an array of a struct, cut to fit.
pub(crate) fn copy_text<const N: usize>(text: &str, target: &mut [c_char; N]) {
    *target = [0; N];
    for (place, byte) in target.iter_mut().zip(cut(text, N - 1).bytes()) {
        *place = byte.cast_signed() as c_char;
    }
}

/// A name that the caller passes as text.
///
/// # Safety
/// `text` is null or ends with a zero byte.
pub(crate) unsafe fn read_name<'a>(what: &str, text: *const c_char) -> Result<&'a str, Failure> {
    if text.is_null() {
        return Err(Failure::null(what));
    }
    // SAFETY: as promised.
    let bytes = unsafe { CStr::from_ptr(text) };
    bytes.to_str().map_err(|_| Failure::border(CALCORE_E_UTF8, format!("{what} is not UTF-8")))
}

/// Writes a text into the caller's buffer, ended by a zero byte; says in any case how many bytes it takes.
///
/// # Safety
/// `buffer` points to `capacity` bytes, or is null with `capacity` 0; `needed` is null or points to a number.
pub(crate) unsafe fn write_text<T: AsRef<str>>(
    text: impl FnOnce() -> Result<T, Failure>,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
) -> Result<(), Failure> {
    // SAFETY: as promised.
    let (target, needed) = unsafe { (output_of("buffer", buffer, capacity)?, Output::new("needed", needed)?) };
    let text = text()?;
    // A text of a document may hold a zero byte; in C it would end there.
    let bytes = text.as_ref().split('\0').next().unwrap_or_default().as_bytes();
    needed.set(bytes.len() + 1);
    if buffer.is_null() {
        return Ok(());
    }
    if target.len() <= bytes.len() {
        let message = format!("the buffer holds {capacity} bytes, the text takes {}", bytes.len() + 1);
        return Err(Failure::border(CALCORE_E_BUFFER_TOO_SMALL, message));
    }
    for (place, byte) in target.iter_mut().zip(bytes.iter().chain([&0])) {
        place.write(byte.cast_signed() as c_char);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn report(error: Error, cap: usize) -> (calcore_error, String) {
        let mut buffer = vec![0x55u8; cap + 1];
        let failure = Failure::from(error);
        let mut err = failure.details();
        err.message = buffer.as_mut_ptr().cast();
        err.message_cap = cap;
        // SAFETY: a whole struct and its buffer.
        unsafe { failure.report(&raw mut err) };
        assert_eq!(buffer[cap], 0x55, "wrote beyond the buffer");
        let end = buffer.iter().position(|b| *b == 0).unwrap();
        (err, String::from_utf8(buffer[..end].to_vec()).unwrap())
    }

    #[test]
    fn text_is_cut_between_characters() {
        let error = Error::OutOfRange { what: "t", value: 9.0, low: 0.0, high: 1.0, unit: "°C", position: None };
        assert_eq!(error.to_string(), "t 9 °C is outside 0 to 1 °C");
        assert_eq!(report(error.clone(), 6).1, "t 9 ", "the degree sign has two bytes and does not fit");
        assert_eq!(report(error.clone(), 7).1, "t 9 °");
        assert_eq!(report(error.clone(), 1).1, "");
        let (err, text) = report(error.clone().at_index(3, 2), 200);
        assert_eq!(text, error.at_index(3, 2).to_string());
        assert_eq!((err.code, err.index, err.count, err.value, err.low, err.high), (102, 3, 2, 9.0, 0.0, 1.0));
        assert_eq!(err.unit[0].cast_unsigned(), 0xc2);
    }

    #[test]
    fn long_names_are_cut_and_end() {
        let mut target = [1; 4];
        copy_text("abcdef", &mut target);
        assert_eq!(target, [97, 98, 99, 0]);
    }
}
