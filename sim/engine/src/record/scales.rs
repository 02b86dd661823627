//! Dimension scales: the calls of the HDF5 high-level library that the `hdf5` crate does not wrap.
#![allow(unsafe_code)] // Foreign functions; the crate offers no safe way to make a dimension scale.

use std::ffi::{CString, c_char, c_uint};

use hdf5::{Dataset, h5check};
use hdf5_sys::{h5::herr_t, h5i::hid_t};

unsafe extern "C" {
    fn H5DSset_scale(dataset: hid_t, name: *const c_char) -> herr_t;
    fn H5DSattach_scale(dataset: hid_t, scale: hid_t, dimension: c_uint) -> herr_t;
}

/// Makes a one-dimensional dataset a dimension scale of the given name.
///
/// # Errors
/// When HDF5 refuses, or the name holds a NUL character.
pub(super) fn make_scale(dataset: &Dataset, name: &str) -> hdf5::Result<()> {
    let name = CString::new(name).map_err(|_| hdf5::Error::from("NUL character in a name"))?;
    // SAFETY: the dataset is open and the name is a NUL-terminated string that outlives the call; `sync` holds
    // the lock of the library, which is not thread-safe in all builds.
    hdf5::sync::sync(|| h5check(unsafe { H5DSset_scale(dataset.id(), name.as_ptr()) }))?;
    Ok(())
}

/// Attaches a scale to a dimension of a dataset, counted from 0.
///
/// # Errors
/// When HDF5 refuses.
pub(super) fn attach_scale(dataset: &Dataset, scale: &Dataset, dimension: u32) -> hdf5::Result<()> {
    // SAFETY: both datasets are open; `sync` holds the lock of the library.
    hdf5::sync::sync(|| h5check(unsafe { H5DSattach_scale(dataset.id(), scale.id(), dimension) }))?;
    Ok(())
}
