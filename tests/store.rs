//! The bay's files: records against a model in memory, power cuts at any byte, backup and restore,
//! and the demonstration bay.

#[path = "store/backups.rs"]
mod backups;
#[path = "store/chain.rs"]
mod chain;
#[path = "store/checks.rs"]
mod checks;
#[path = "store/cuts.rs"]
mod cuts;
#[path = "store/demo_bay.rs"]
mod demo_bay;
#[path = "store/exporting.rs"]
mod exporting;
#[path = "store/failing_disk.rs"]
mod failing_disk;
#[path = "store/killed.rs"]
mod killed;
#[path = "store/locked.rs"]
mod locked;
#[path = "store/lost.rs"]
mod lost;
#[path = "store/model.rs"]
mod model;
#[path = "store/records.rs"]
mod records;
#[path = "store/restoring.rs"]
mod restoring;
#[path = "store/shifts.rs"]
mod shifts;
#[path = "store/sound.rs"]
mod sound;
