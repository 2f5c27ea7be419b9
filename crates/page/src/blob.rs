//! A file of the page as a source that can be read and sought in.

use js_sys::Uint8Array;
use std::io::{self, Read, Seek, SeekFrom};
use wasm_bindgen::{JsCast as _, JsValue};
use web_sys::{Blob, FileReaderSync};

/// How much one look into the file fetches at least.
///
/// A read costs about a millisecond whatever its size, and headers are read a few bytes at a time.
const WINDOW: u64 = 128 * 1024;

/// A `Blob` or `File` read through `FileReaderSync`: for headers and single places, not for the
/// bulk of the samples. Works in workers only.
#[derive(Debug)]
pub struct BlobSource {
    blob: Blob,
    reader: FileReaderSync,
    length: u64,
    position: u64,
    window: Vec<u8>,
    window_at: u64,
}

impl BlobSource {
    /// A source that stands at the blob's first byte.
    pub fn new(blob: Blob) -> Result<BlobSource, JsValue> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a blob's size is a whole number from 0 to 2^53"
        )]
        let length = blob.size() as u64;
        Ok(BlobSource {
            blob,
            reader: FileReaderSync::new()?,
            length,
            position: 0,
            window: Vec::new(),
            window_at: 0,
        })
    }

    /// The bytes from the present position on that are at hand.
    fn at_hand(&self) -> &[u8] {
        self.position
            .checked_sub(self.window_at)
            .and_then(|skip| usize::try_from(skip).ok())
            .and_then(|skip| self.window.get(skip..))
            .unwrap_or_default()
    }

    /// Fetches the window that begins at the present position.
    fn fetch(&mut self) -> io::Result<()> {
        let end = self.position.saturating_add(WINDOW).min(self.length);
        let fetched = self
            .blob
            .slice_with_f64_and_f64(self.position as f64, end as f64)
            .and_then(|slice| self.reader.read_as_array_buffer(&slice))
            .map_err(|error| io::Error::other(message(&error)))?;
        let bytes = Uint8Array::new(&fetched);
        self.window.resize(bytes.length() as usize, 0);
        bytes.copy_to(&mut self.window);
        self.window_at = self.position;
        Ok(())
    }
}

impl Read for BlobSource {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.position >= self.length || into.is_empty() {
            return Ok(0);
        }
        if self.at_hand().is_empty() {
            self.fetch()?;
        }
        let count = self.at_hand().read(into)?;
        self.position += count as u64;
        Ok(count)
    }
}

impl Seek for BlobSource {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let position = match to {
            SeekFrom::Start(offset) => Some(offset),
            SeekFrom::End(offset) => self.length.checked_add_signed(offset),
            SeekFrom::Current(offset) => self.position.checked_add_signed(offset),
        };
        self.position = position.ok_or_else(|| {
            io::Error::new(
                io::ErrorKind::InvalidInput,
                "the place is before the file's first byte",
            )
        })?;
        Ok(self.position)
    }
}

/// What the browser says about a failed read.
fn message(error: &JsValue) -> String {
    error
        .dyn_ref::<js_sys::Error>()
        .map(|error| String::from(error.message()))
        .or_else(|| {
            js_sys::Reflect::get(error, &"message".into())
                .ok()?
                .as_string()
        })
        .unwrap_or_else(|| "the browser could not read the file".to_owned())
}
