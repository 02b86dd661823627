//! `wakebeat report`: one page from each kind of file and from several, complete in itself; what it refuses.

mod browser;
mod files;
mod page;
mod refused;
mod webdriver;
