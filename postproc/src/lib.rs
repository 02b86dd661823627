//! Pictures and tables from wakebeat result files.
