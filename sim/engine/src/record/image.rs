//! The bytes of an HDF5 file built in memory.
//!
//! A run is a few megabytes. Building it in memory and writing the bytes with ordinary file calls means that a
//! full disk is an ordinary error with its reason, not a half-closed file inside the HDF5 library.
#![allow(unsafe_code)] // Foreign function; the crate does not wrap the file image.

use std::sync::atomic::{AtomicU64, Ordering};

use hdf5::plist::file_create::LinkCreationOrder;
use hdf5::{File, h5check};
use hdf5_sys::h5f::H5Fget_file_image;

/// Growth step of the memory file, bytes.
const INCREMENT: usize = 1 << 20;

/// An empty HDF5 file in memory. No object carries a time stamp, so equal content gives equal bytes.
///
/// # Errors
/// When HDF5 refuses.
pub(super) fn create() -> hdf5::Result<File> {
    // HDF5 refuses to create a file under a name that is open, in memory too.
    static NUMBER: AtomicU64 = AtomicU64::new(0);
    let name = format!("memory-{}.h5", NUMBER.fetch_add(1, Ordering::Relaxed));
    File::with_options()
        .with_fapl(|access| access.core_options(INCREMENT, false))
        .with_fcpl(|creation| creation.obj_track_times(false).link_creation_order(LinkCreationOrder::Indexed))
        .create(name)
}

/// The bytes of an open file.
///
/// # Errors
/// When HDF5 refuses.
pub(super) fn bytes(file: &File) -> hdf5::Result<Vec<u8>> {
    file.flush()?;
    hdf5::sync::sync(|| {
        // SAFETY: a null buffer of size 0 asks for the size only.
        let size = h5check(unsafe { H5Fget_file_image(file.id(), std::ptr::null_mut(), 0) })?;
        let mut image = vec![0_u8; usize::try_from(size).unwrap_or(0)];
        // SAFETY: the buffer has the size given.
        h5check(unsafe { H5Fget_file_image(file.id(), image.as_mut_ptr().cast(), image.len()) })?;
        Ok(image)
    })
}
