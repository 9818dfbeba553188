//! Does the same to every thing of a list on as many threads as there are cores; the answers keep the order of the list.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// The answer for each thing, in the order of the things: the same on any number of cores.
pub(super) fn side_by_side<T: Sync, A: Send>(
    things: &[T],
    work: impl Fn(&T) -> A + Sync,
) -> Vec<A> {
    let cores = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let next = AtomicUsize::new(0);
    let take = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            match things.get(index) {
                Some(thing) => done.push((index, work(thing))),
                None => return done,
            }
        }
    };
    let mut all = thread::scope(|scope| {
        let helpers: Vec<_> = (1..cores.min(things.len()))
            .map(|_| scope.spawn(take))
            .collect();
        let mut all = take();
        for helper in helpers {
            match helper.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_stand_in_the_order_of_the_things() {
        let things: Vec<u64> = (0..999).collect();
        let expected: Vec<u64> = things.iter().map(|it| it * it).collect();
        assert_eq!(side_by_side(&things, |it| it * it), expected);
        assert!(side_by_side(&[], |it: &u64| *it).is_empty());
    }
}
