//! Ogg Vorbis files: mono, at [`RATE`].

use super::RATE;
use std::io::Cursor;
use symphonia::core::audio::{AudioBufferRef, Signal as _};
use symphonia::core::codecs::{CODEC_TYPE_VORBIS, Decoder as _, DecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::{FormatOptions, FormatReader as _};
use symphonia::core::io::MediaSourceStream;
use symphonia::default::codecs::VorbisDecoder;
use symphonia::default::formats::OggReader;

/// Whether the bytes begin as those of an Ogg file do.
pub fn is_ogg(file: &[u8]) -> bool {
    file.starts_with(b"OggS")
}

/// The samples of an Ogg Vorbis file, just as many as it was made of: Vorbis is coded in blocks, and the
/// file says where in the last one the sound ends.
///
/// # Errors
/// What is wrong with it, for anything but Vorbis, mono, at [`RATE`], and for a file that was cut short.
pub fn samples(file: &[u8]) -> Result<Vec<i16>, String> {
    let torn = |e: Error| format!("it is not a whole Ogg Vorbis file ({e})");
    let bytes = MediaSourceStream::new(Box::new(Cursor::new(file.to_vec())), Default::default());
    let options = FormatOptions {
        enable_gapless: true,
        ..FormatOptions::default()
    };
    let mut reader = OggReader::try_new(bytes, &options).map_err(torn)?;
    let track = match reader.tracks() {
        [track] if track.codec_params.codec == CODEC_TYPE_VORBIS => track,
        _ => return Err("there is not one sound in it, as Vorbis".to_owned()),
    };
    let told = &track.codec_params;
    if told.channels.map(|channels| channels.count()) != Some(1) || told.sample_rate != Some(RATE) {
        return Err("it is not mono at 22,050 Hz".to_owned());
    }
    let length = told.n_frames.ok_or("it does not say how long it is")?;
    let length = usize::try_from(length).map_err(|_| "it is far too long".to_owned())?;
    let mut decoder = VorbisDecoder::try_new(told, &DecoderOptions::default()).map_err(torn)?;
    let mut samples = Vec::new();
    while samples.len() < length {
        let packet = reader.next_packet().map_err(torn)?;
        if let AudioBufferRef::F32(heard) = decoder.decode(&packet).map_err(torn)? {
            // The conversion stays within the range where a peak would leave it.
            samples.extend(heard.chan(0).iter().map(|s| (s * 32_768.0).round() as i16));
        }
    }
    samples.truncate(length);
    Ok(samples)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::voice::Pack;

    fn clip() -> &'static [u8] {
        let (_, clip) = Pack::built_in("en")
            .expect("English")
            .clips()
            .find(|(word, _)| *word == "eight")
            .expect("a clip");
        clip
    }

    #[test]
    fn a_clip_is_as_long_as_its_last_page_says() {
        let file = clip();
        let page = file.windows(4).rposition(|four| four == b"OggS");
        let page = page.expect("a page");
        let told = u64::from_le_bytes(file[page + 6..page + 14].try_into().expect("eight bytes"));
        assert_eq!(samples(file).expect("a clip").len() as u64, told);
        assert!(told > u64::from(RATE) / 10 && told % 64 != 0, "{told}");
    }

    #[test]
    fn what_is_cut_or_changed_is_told_or_read_and_nothing_breaks() {
        let whole = clip();
        assert!(is_ogg(whole) && samples(whole).is_ok());
        for end in (0..whole.len()).step_by(61) {
            assert!(samples(&whole[..end]).is_err(), "{end} bytes");
        }
        for at in (0..whole.len()).step_by(61) {
            let mut changed = whole.to_vec();
            changed[at] ^= 0x55;
            // Every page has a check sum.
            assert!(samples(&changed).is_err(), "byte {at}");
        }
    }
}
