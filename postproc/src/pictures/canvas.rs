//! From drawing calls to the bytes of a picture file, and from bytes to the disk.

use std::path::PathBuf;

use plotters::coord::Shift;
use plotters::prelude::{BitMapBackend, DrawingArea, DrawingBackend, IntoDrawingArea, SVGBackend};
use plotters::style::{FontStyle, WHITE, register_font};

use super::PictureFormat;
use crate::{Folder, MARK, PlotError, files};

/// A part of a picture to draw on.
pub(super) type Area<DB> = DrawingArea<DB, Shift>;

/// Something that can be drawn on an area of any backend.
pub(super) trait Sheet {
    /// Draws it.
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError>;
}

/// Size of every picture, pixels.
pub(super) const SIZE: (u32, u32) = (1200, 900);

/// Fine pixels to a pixel. The library does not smooth thick lines, so a picture is drawn this many times
/// larger and averaged down; an SVG gets the same factor in its view box.
pub(super) const FINE: u32 = 3;

/// Font family under which the font is registered; SVG readers take their own font for it. The font itself,
/// DejaVu Sans, is compiled in; its licence is `postproc/LICENSE-DejaVu-fonts.txt`.
pub(super) const FONT: &str = "sans-serif";

/// A length in pixels of the finished picture, in fine pixels.
pub(super) fn px(length: f64) -> i32 {
    (length * f64::from(FINE)).round() as i32
}

/// Renders pictures of one format.
pub(super) struct Canvas {
    format: PictureFormat,
}

impl Canvas {
    /// Registers the font the pictures need.
    pub fn new(format: PictureFormat) -> Result<Self, PlotError> {
        let fonts = [(FontStyle::Normal, dejavu::sans::regular()), (FontStyle::Bold, dejavu::sans::bold())];
        for (style, bytes) in fonts {
            register_font(FONT, style, bytes)
                .map_err(|_| PlotError::Drawing { reason: "the font is damaged".to_owned() })?;
        }
        Ok(Self { format })
    }

    /// The bytes of the finished file.
    pub fn render(&self, sheet: &impl Sheet) -> Result<Vec<u8>, PlotError> {
        match self.format {
            PictureFormat::Png => png(sheet),
            PictureFormat::Svg => svg(sheet),
        }
    }
}

fn fine_size() -> (u32, u32) {
    (SIZE.0 * FINE, SIZE.1 * FINE)
}

fn draw<DB: DrawingBackend>(area: &Area<DB>, sheet: &impl Sheet) -> Result<(), PlotError> {
    area.fill(&WHITE)?;
    sheet.draw(area)?;
    area.present()?;
    Ok(())
}

fn png(sheet: &impl Sheet) -> Result<Vec<u8>, PlotError> {
    let (width, height) = fine_size();
    let mut fine = vec![0_u8; (3 * width * height) as usize];
    draw(&BitMapBackend::with_buffer(&mut fine, (width, height)).into_drawing_area(), sheet)?;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, SIZE.0, SIZE.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::Best);
    encoder.set_adaptive_filter(png::AdaptiveFilterType::Adaptive);
    encoder
        .add_text_chunk("Software".to_owned(), MARK.to_owned())
        .and_then(|()| encoder.write_header())
        .and_then(|mut writer| writer.write_image_data(&averaged(&fine)))
        .map_err(|error| PlotError::Drawing { reason: error.to_string() })?;
    Ok(bytes)
}

/// Mean of each square of fine pixels.
fn averaged(fine: &[u8]) -> Vec<u8> {
    let (width, height, factor) = (SIZE.0 as usize, SIZE.1 as usize, FINE as usize);
    let stride = 3 * width * factor;
    let mut coarse = Vec::with_capacity(3 * width * height);
    for y in 0..height {
        for byte in 0..3 * width {
            let (x, channel) = (byte / 3, byte % 3);
            let sum: u32 = (0..factor * factor)
                .map(|k| {
                    let (row, column) = (y * factor + k / factor, x * factor + k % factor);
                    u32::from(fine[row * stride + 3 * column + channel])
                })
                .sum();
            let count = FINE * FINE;
            coarse.push(((sum + count / 2) / count) as u8);
        }
    }
    coarse
}

fn svg(sheet: &impl Sheet) -> Result<Vec<u8>, PlotError> {
    let (width, height) = fine_size();
    let mut text = String::new();
    draw(&SVGBackend::with_string(&mut text, (width, height)).into_drawing_area(), sheet)?;
    // The view box keeps the fine units; the size shown is that of the PNG.
    let drawn = format!("width=\"{width}\" height=\"{height}\"");
    let shown = format!("width=\"{}\" height=\"{}\"", SIZE.0, SIZE.1);
    let text = text.replacen(&drawn, &shown, 1);
    Ok(format!("<!-- {MARK} -->\n{text}").into_bytes())
}

/// Writes the pictures, each whole or not at all; none where one would replace a file that is not ours.
pub(super) fn save_all(
    folder: Folder<'_>,
    format: PictureFormat,
    pictures: &[(&str, Vec<u8>)],
) -> Result<Vec<PathBuf>, PlotError> {
    let files: Vec<(String, &[u8])> = pictures
        .iter()
        .map(|(stem, bytes)| (format!("{stem}.{}", format.extension()), bytes.as_slice()))
        .collect();
    Ok(files::save_all(folder, &files)?)
}
