//! The texts in errors: strings, or without the standard library a fixed room for them, so that nothing allocates.

use core::fmt;
#[cfg(not(feature = "std"))]
use core::fmt::Write;

/// A text in an error.
#[cfg(feature = "std")]
pub type Text = String;

/// Characters of a text are kept up to this many bytes without the standard library.
#[cfg(not(feature = "std"))]
const ROOM: usize = 160;

/// A text in an error, without the standard library: up to 160 bytes, what goes beyond is cut off.
#[cfg(not(feature = "std"))]
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Text {
    bytes: [u8; ROOM],
    length: usize,
}

#[cfg(not(feature = "std"))]
impl Text {
    /// Writes a formatted text.
    #[must_use]
    pub fn format(arguments: fmt::Arguments<'_>) -> Self {
        let mut text = Self { bytes: [0; ROOM], length: 0 };
        // Full is no failure: the text is cut.
        let _ = text.write_fmt(arguments);
        text
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        core::str::from_utf8(self.bytes.get(..self.length).unwrap_or_default()).unwrap_or_default()
    }
}

#[cfg(not(feature = "std"))]
impl Write for Text {
    fn write_str(&mut self, more: &str) -> fmt::Result {
        let mut fits = more.len().min(ROOM - self.length);
        while !more.is_char_boundary(fits) {
            fits -= 1;
        }
        self.bytes[self.length..self.length + fits].copy_from_slice(&more.as_bytes()[..fits]);
        self.length += fits;
        if fits == more.len() { Ok(()) } else { Err(fmt::Error) }
    }
}

#[cfg(not(feature = "std"))]
impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self::format(format_args!("{text}"))
    }
}

#[cfg(not(feature = "std"))]
impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

#[cfg(not(feature = "std"))]
impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

/// Formats a [`Text`].
#[cfg(feature = "std")]
macro_rules! text {
    ($($argument:tt)*) => { format!($($argument)*) };
}

/// Formats a [`Text`].
#[cfg(not(feature = "std"))]
macro_rules! text {
    ($($argument:tt)*) => { $crate::error::Text::format(format_args!($($argument)*)) };
}

pub(crate) use text;

/// Names one after the other, with commas between.
pub(crate) struct Names<I>(pub(crate) I);

impl<'a, I: Iterator<Item = &'a str> + Clone> fmt::Display for Names<I> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, name) in self.0.clone().enumerate() {
            f.write_str(if i == 0 { "" } else { ", " })?;
            f.write_str(name)?;
        }
        Ok(())
    }
}
