//! Independent work on all processors, with results that don't depend on how many there are.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Works on each of a list on as many threads as the machine runs at once. Each is worked on by itself and the results
/// stand in the order of the list, so how many threads there are changes nothing.
pub(super) fn side_by_side<'l, A: Sync, B: Send>(list: &'l [A], work: impl Fn(&'l A) -> B + Sync) -> Vec<B> {
    let threads = std::thread::available_parallelism().map_or(1, NonZeroUsize::get).min(list.len());
    if threads < 2 {
        return list.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let turn = || {
        let mut done = Vec::new();
        while let Some((number, one)) = {
            let number = next.fetch_add(1, Ordering::Relaxed);
            list.get(number).map(|one| (number, one))
        } {
            done.push((number, work(one)));
        }
        done
    };
    let mut found: Vec<(usize, B)> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..threads).map(|_| scope.spawn(turn)).collect();
        let joined = threads.into_iter().map(std::thread::ScopedJoinHandle::join);
        joined.flat_map(|done| done.unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    });
    found.sort_by_key(|(number, _)| *number);
    found.into_iter().map(|(_, result)| result).collect()
}
