//! What both sides of the carburettor and every family share: barrels, bowl, main circuit, idle circuit,
//! enrichment, accelerator pump, the air past the plates and the link between the plates.

pub mod air_leak;
pub mod barrels;
pub mod bowl;
pub mod enrichment;
pub mod idle;
pub mod linkage;
pub mod main_circuit;
pub mod pump;
