//! tmp
use super::InflowSource;
use crate::frames::DiskAxes;
use crate::point::PointError;
use crate::point::input::{Flight, Surface};
/// tmp
pub struct SurfaceWakeSource;
impl SurfaceWakeSource {
    /// tmp
    pub fn new(_: &Surface, _: &Flight, _: &DiskAxes, _: f64) -> Result<Option<Self>, PointError> {
        Ok(None)
    }
}
impl InflowSource for SurfaceWakeSource {
    fn name(&self) -> &str {
        ""
    }
}
