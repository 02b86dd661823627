//! A field over the disk as a small picture in the text of the page.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use plotters::style::RGBColor;

use crate::PlotError;
use crate::pictures::colour::map;

/// Levels of the map; few enough that a picture stays small, more than the eye parts.
const LEVELS: u8 = 96;
/// Colour of the hub.
const HUB: RGBColor = RGBColor(150, 150, 150);

/// Shares of the map, row by row from the upper left: `Some(0 to 1)`, NaN for the hub, `None` outside the disk.
pub(super) fn data_uri(size: u32, shares: &[Option<f64>]) -> Result<String, PlotError> {
    let mut palette = Vec::new();
    for level in 0..LEVELS {
        let RGBColor(r, g, b) = map(f64::from(level) / f64::from(LEVELS - 1));
        palette.extend([r, g, b]);
    }
    let (hub, outside) = (LEVELS, LEVELS + 1);
    palette.extend([HUB.0, HUB.1, HUB.2, 0, 0, 0]);
    let mut alpha = vec![255; usize::from(outside)];
    alpha.push(0);
    let index = |share: &Option<f64>| match share {
        None => outside,
        Some(share) if share.is_finite() => (share.clamp(0.0, 1.0) * f64::from(LEVELS - 1)).round() as u8,
        Some(_) => hub,
    };
    let pixels: Vec<u8> = shares.iter().map(index).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, size, size);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder.set_trns(alpha);
    encoder.set_compression(png::Compression::Best);
    encoder
        .write_header()
        .and_then(|mut writer| writer.write_image_data(&pixels))
        .map_err(|error| PlotError::Drawing { reason: error.to_string() })?;
    Ok(format!("data:image/png;base64,{}", STANDARD.encode(bytes)))
}
