//! English: one phrase for each kind of fact, by what they are about.

mod bench;
mod correction;
mod costs;
mod device;
mod drawing;
mod fact;
mod law;
mod log;
mod plain;
mod promise;
mod reason;
mod route;
mod summary;
mod tree;
mod verdict;
pub mod verify;
pub mod video;

pub use scoring::text::number::{a_new, many};

pub use bench::*;
pub use correction::*;
pub use costs::*;
pub use device::*;
pub use drawing::*;
pub use fact::*;
pub use law::*;
pub use log::*;
pub use plain::*;
pub use promise::*;
pub use reason::*;
pub use route::*;
pub use summary::*;
pub use tree::*;
pub use verdict::*;
