//! Soundings of a GeoTIFF: an image of one band of heights or depths (OGC GeoTIFF 1.1, 19-008r4, from memory).

mod scaled;

use std::io::{self, BufReader, Seek};

use tiff::ColorType;
use tiff::decoder::{ChunkType, Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::{MOST_READ, Raw, Read, Sink, SoundingsOptions, stated, unit};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};

/// Where writers of such images put a scale and an offset of their numbers, among other things, as XML.
const METADATA: Tag = Tag::Unknown(42112);
/// Most bytes that one piece of the image may unpack to.
const LARGEST_PIECE: usize = 256 << 20;

/// Whether bytes begin as a TIFF does, in either order of bytes, large or not.
pub(super) fn is_image(head: &[u8]) -> bool {
    [b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"]
        .iter()
        .any(|code| head.starts_with(*code))
}

fn off(error: &tiff::TiffError) -> Fault {
    if let tiff::TiffError::IoError(error) = error
        && error.kind() == io::ErrorKind::UnexpectedEof
    {
        return Fault::whole("the image is cut off");
    }
    Fault::whole(format!(
        "the image cannot be read: {}",
        excerpt(&error.to_string())
    ))
}

/// Reads the pixels of an image.
pub(super) fn read(
    file: impl io::Read + Seek,
    options: &SoundingsOptions,
    notes: &mut Vec<String>,
) -> Result<Read, Fault> {
    if options.columns.is_some() {
        return Err(Fault::whole(
            "an image has no columns with headings; leave the columns out",
        ));
    }
    let mut limits = Limits::default();
    limits.decoding_buffer_size = LARGEST_PIECE;
    limits.intermediate_buffer_size = LARGEST_PIECE;
    limits.ifd_value_size = 1 << 20;
    let decoder = Decoder::new(BufReader::new(file)).map_err(|error| off(&error))?;
    let mut decoder = decoder.with_limits(limits);
    let (width, height) = decoder.dimensions().map_err(|error| off(&error))?;
    if u64::from(width) * u64::from(height) > MOST_READ {
        return Err(Fault::whole(format!(
            "the image has more than {MOST_READ} pixels"
        )));
    }
    if !matches!(
        decoder.colortype().map_err(|error| off(&error))?,
        ColorType::Gray(_)
    ) {
        return Err(Fault::whole(
            "the image has more than one band; a band of depths or heights is due",
        ));
    }
    let mut doubles = |tag| -> Result<Option<Vec<f64>>, Fault> {
        let found = decoder.find_tag(tag).map_err(|error| off(&error))?;
        let found = found.map(tiff::decoder::ifd::Value::into_f64_vec);
        found.transpose().map_err(|error| off(&error))
    };
    let scale = doubles(Tag::ModelPixelScaleTag)?;
    let tie = doubles(Tag::ModelTiepointTag)?;
    let matrix = doubles(Tag::ModelTransformationTag)?;
    let keys = decoder.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag);
    let keys = Keys(keys.map_err(|error| off(&error))?.unwrap_or_default());
    let lay = Lay::from_tags(
        scale.as_deref(),
        tie.as_deref(),
        matrix.as_deref(),
        keys.points(),
    )?;
    let own = keys
        .system()
        .map(|code| (code, Crs::parse(&format!("EPSG:{code}"))));
    let crs = match (&options.crs, &own) {
        (Some(_), Some((code, _))) => {
            notes.push(format!(
                "the file itself states EPSG:{code}; `--crs` counts in its place"
            ));
            stated(options)?
        }
        (None, Some((_, Ok(crs)))) => crs,
        (None, Some((_, Err(why)))) => {
            return Err(Fault::whole(format!("{why}; `--crs` states another")));
        }
        (_, None) => stated(options)?,
    };
    let unit = unit(options)?;
    if let Some((name, metres)) = keys.unit()
        && (unit - metres).abs() > 1e-5 * metres
    {
        notes.push(format!(
            "the file itself states its numbers in {name}; `--unit` counts in its place"
        ));
    }
    let metadata = decoder.find_tag(METADATA).map_err(|error| off(&error))?;
    if let Some(metadata) = metadata {
        let text = metadata.into_string().map_err(|error| off(&error))?;
        scaled::refuse(text.trim_end_matches('\0'))?;
    }
    let mut sink = Sink::new(options, crs, unit);
    if options.no_data.is_none()
        && let Ok(text) = decoder.get_tag_ascii_string(Tag::GdalNodata)
    {
        let text = text.trim_end_matches('\0').trim().to_owned();
        let none: Option<f64> = text.parse().ok();
        let none = none.ok_or_else(|| {
            Fault::whole(format!(
                "`{}` is to stand for no depth, which is not a number; state it with `--no-data`",
                excerpt(&text)
            ))
        })?;
        sink.no_data = Some(none);
    }
    let tiles = decoder.get_chunk_type() == ChunkType::Tile;
    let count = if tiles {
        decoder.tile_count()
    } else {
        decoder.strip_count()
    };
    let (across, down) = decoder.chunk_dimensions();
    if across == 0 || down == 0 {
        return Err(Fault::whole("the image is in pieces of no size"));
    }
    let in_a_row = width.div_ceil(across);
    for piece in 0..count.map_err(|error| off(&error))? {
        let (wide, high) = decoder.chunk_data_dimensions(piece);
        let data = decoder.read_chunk(piece).map_err(|error| off(&error))?;
        let corner = (piece % in_a_row * across, piece / in_a_row * down);
        let values = values(data)?;
        if values.len() != wide as usize * high as usize {
            return Err(Fault::whole(
                "a piece of the image has another size than it states",
            ));
        }
        for (index, z) in values.into_iter().enumerate() {
            let index = u32::try_from(index).unwrap_or(u32::MAX);
            let (column, row) = (corner.0 + index % wide, corner.1 + index / wide);
            if sink.is_none(z) {
                sink.without()?;
                continue;
            }
            let (x, y) = lay.centre(f64::from(column), f64::from(row));
            let place = Place::Whole;
            sink.take(Raw { x, y, z, place }).map_err(|fault| {
                Fault::whole(format!(
                    "pixel {column} of row {row}, counted from 0: {}",
                    fault.message
                ))
            })?;
        }
    }
    Ok(sink.finish("GeoTIFF"))
}

/// The numbers of a piece.
fn values(data: DecodingResult) -> Result<Vec<f64>, Fault> {
    Ok(match data {
        DecodingResult::U8(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::I8(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::U16(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::I16(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::U32(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::I32(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::F32(all) => all.into_iter().map(f64::from).collect(),
        DecodingResult::F64(all) => all,
        _ => {
            return Err(Fault::whole(
                "the image holds numbers of 64 bits or of half precision, which are not read",
            ));
        }
    })
}

/// The directory of keys: four numbers a key, the first four the head.
struct Keys(Vec<u16>);

impl Keys {
    /// The value of a key that stands in the directory itself.
    fn value(&self, key: u16) -> Option<u16> {
        let entries = self.0.chunks_exact(4).skip(1);
        let found = entries
            .into_iter()
            .find(|entry| entry[0] == key && entry[1] == 0);
        found.map(|entry| entry[3])
    }

    /// The EPSG code of the system: projected, or else geographic.
    fn system(&self) -> Option<u16> {
        let stated = |key| self.value(key).filter(|code| (1024..32767).contains(code));
        stated(3072).or_else(|| stated(2048).filter(|_| self.value(1024) == Some(2)))
    }

    /// The unit of heights, with the metres in one of it, where the file says so.
    fn unit(&self) -> Option<(&'static str, f64)> {
        match self.value(4099)? {
            9001 => Some(("metres", 1.0)),
            9002 => Some(("feet", 0.3048)),
            9003 => Some(("US survey feet", 1200.0 / 3937.0)),
            _ => None,
        }
    }

    /// Whether a pixel stands for the point at its corner of the raster, and not for an area.
    fn points(&self) -> bool {
        self.value(1025) == Some(2)
    }
}

/// Where the pixels lie.
struct Lay {
    /// x and y of the middle of the first pixel, and their steps along columns and rows.
    first: (f64, f64),
    by_column: (f64, f64),
    by_row: (f64, f64),
}

impl Lay {
    fn from_tags(
        scale: Option<&[f64]>,
        tie: Option<&[f64]>,
        matrix: Option<&[f64]>,
        points: bool,
    ) -> Result<Self, Fault> {
        let middle = if points { 0.0 } else { 0.5 };
        let lay = match (scale, tie, matrix) {
            (Some([across, down, ..]), Some([column, row, _, x, y, _]), _) => Self {
                first: (x + (middle - column) * across, y - (middle - row) * down),
                by_column: (*across, 0.0),
                by_row: (0.0, -down),
            },
            (_, _, Some([a, b, _, x, d, e, _, y, ..])) => Self {
                first: (x + middle * (a + b), y + middle * (d + e)),
                by_column: (*a, *d),
                by_row: (*b, *e),
            },
            _ => {
                return Err(Fault::whole(
                    "the image does not say where it lies: it has neither a scale with one tie point nor a \
                     transformation",
                ));
            }
        };
        Ok(lay)
    }

    fn centre(&self, column: f64, row: f64) -> (f64, f64) {
        (
            self.first.0 + column * self.by_column.0 + row * self.by_row.0,
            self.first.1 + column * self.by_column.1 + row * self.by_row.1,
        )
    }
}
