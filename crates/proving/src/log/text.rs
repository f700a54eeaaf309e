//! Bytes of a file as text: marks, encodings, and where lines end.
//!
//! Conventions: UTF-8 out, or bytes that agree with it wherever they are ASCII.
//! Assumes: numbers and what stands between them are ASCII; of words in an older encoding, Western European.
//! Valid for: UTF-8 and UTF-16 with a mark, UTF-16 without one where every other byte is nought, Latin-1.
//! Source: the Encoding Standard, by encoding_rs.
//! Checked by: the tests below; tests/logs.rs.

use encoding_rs::{Decoder, Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::io::{self, Read};

/// A file as text, read piece by piece.
pub(crate) struct Text<R> {
    reader: R,
    /// What was read to find the encoding.
    begun: Vec<u8>,
    decoder: Option<Decoder>,
    pub(crate) encoding: &'static str,
    is_done: bool,
}

/// So much is looked at for the encoding.
const LOOKED_AT: usize = 4096;
const PIECE: usize = 1 << 20;

impl<R: Read> Text<R> {
    pub(crate) fn new(mut reader: R) -> io::Result<Self> {
        let mut begun = Vec::new();
        reader.by_ref().take(LOOKED_AT as u64).read_to_end(&mut begun)?;
        let (decoder, encoding, mark) = match Encoding::for_bom(&begun) {
            Some((encoding, mark)) if encoding == UTF_8 => (None, "UTF-8 with a mark", mark),
            Some((encoding, mark)) => (Some(encoding.new_decoder_without_bom_handling()), "UTF-16", mark),
            None => match half_nought(&begun) {
                Some(encoding) => (
                    Some(encoding.new_decoder_without_bom_handling()),
                    "UTF-16 without a mark",
                    0,
                ),
                None => (None, "", 0),
            },
        };
        begun.drain(..mark);
        Ok(Text {
            reader,
            begun,
            decoder,
            encoding,
            is_done: false,
        })
    }

    /// Reads on until so many bytes are there, or the end; false at the end.
    pub(crate) fn fill(&mut self, into: &mut Vec<u8>, most: usize) -> io::Result<bool> {
        let mut raw = std::mem::take(&mut self.begun);
        while into.len() < most && !self.is_done {
            if raw.is_empty() {
                let to = if self.decoder.is_some() {
                    &mut raw
                } else {
                    &mut *into
                };
                let read = self.reader.by_ref().take(PIECE as u64).read_to_end(to)?;
                self.is_done = read < PIECE;
            }
            match &mut self.decoder {
                Some(decoder) => {
                    let mut text = String::with_capacity(
                        decoder
                            .max_utf8_buffer_length(raw.len())
                            .unwrap_or(3 * raw.len() + 16),
                    );
                    let _ = decoder.decode_to_string(&raw, &mut text, self.is_done);
                    into.extend_from_slice(text.as_bytes());
                }
                None => into.extend_from_slice(&raw),
            }
            raw.clear();
        }
        Ok(!self.is_done)
    }
}

/// Finds UTF-16 without a mark: of plain text every other byte is nought.
fn half_nought(bytes: &[u8]) -> Option<&'static Encoding> {
    let share = |odd: usize| {
        let those = bytes.iter().skip(odd).step_by(2);
        let count = those.clone().count().max(1);
        those.filter(|byte| **byte == 0).count() as f64 / count as f64
    };
    let [even, odd] = [share(0), share(1)];
    match () {
        () if bytes.len() < 8 => None,
        () if odd > 0.9 && even < 0.1 => Some(UTF_16LE),
        () if even > 0.9 && odd < 0.1 => Some(UTF_16BE),
        () => None,
    }
}

/// Says in which encoding words are, where no mark said so, and gives them in UTF-8.
pub(crate) fn words(bytes: &[u8]) -> (&'static str, String) {
    if bytes.is_ascii() {
        return ("ASCII", String::from_utf8_lossy(bytes).into_owned());
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => ("UTF-8", text.to_string()),
        // A sign may be cut in two at the end of what was read.
        Err(error) if error.error_len().is_none() => ("UTF-8", String::from_utf8_lossy(bytes).into_owned()),
        Err(_) => {
            let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
            ("Latin-1", text.into_owned())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> (String, &'static str) {
        let mut text = Text::new(bytes).unwrap();
        let mut all = Vec::new();
        text.fill(&mut all, usize::MAX).unwrap();
        (String::from_utf8(all).unwrap(), text.encoding)
    }

    #[test]
    fn encodings_are_found() {
        assert_eq!(
            read("\u{FEFF}a;ß\r\n".as_bytes()),
            ("a;ß\r\n".into(), "UTF-8 with a mark")
        );
        let wide: Vec<u8> = "t;F\n0;1\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(read(&wide), ("t;F\n0;1\n".into(), "UTF-16 without a mark"));
        let marked: Vec<u8> = [0xFE, 0xFF]
            .into_iter()
            .chain("1;µ\n".encode_utf16().flat_map(u16::to_be_bytes))
            .collect();
        assert_eq!(read(&marked), ("1;µ\n".into(), "UTF-16"));
        assert_eq!(words(b"Zug\xE4nge"), ("Latin-1", "Zugänge".into()));
        assert_eq!(words("Zugänge".as_bytes()).0, "UTF-8");
        assert_eq!(words(b"s;\xB0C\n"), ("Latin-1", "s;°C\n".into()));
    }
}
