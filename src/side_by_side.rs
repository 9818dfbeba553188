//! Does the same to every thing of a list on as many threads as there are cores; the answers keep the order of the list.

use std::num::NonZeroUsize;
use std::ops::Range;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Numbers that one thread takes at a time: enough to forget the cost of taking them.
const STRETCH: usize = 64;

/// The answer for each thing, in the order of the things: the same on any number of cores.
pub(crate) fn side_by_side<T: Sync, A: Send>(
    things: &[T],
    work: impl Fn(&T) -> A + Sync,
) -> Vec<A> {
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
        let helpers: Vec<_> = (1..cores().min(things.len()))
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

/// The answers for all numbers below a count, stretch by stretch, in their order: any number of answers for each.
pub(crate) fn in_stretches<A: Send>(
    count: usize,
    work: impl Fn(Range<usize>) -> Vec<A> + Sync,
) -> Vec<A> {
    let stretches: Vec<Range<usize>> = (0..count)
        .step_by(STRETCH)
        .map(|from| from..count.min(from + STRETCH))
        .collect();
    let mut answers = side_by_side(&stretches, |stretch| work(stretch.clone()));
    match &mut answers[..] {
        [only] => std::mem::take(only),
        _ => {
            let mut all = Vec::with_capacity(answers.iter().map(Vec::len).sum());
            answers.iter_mut().for_each(|it| all.append(it));
            all
        }
    }
}

/// Two things done at once.
pub(crate) fn both<A, B: Send>(
    first: impl FnOnce() -> A,
    second: impl FnOnce() -> B + Send,
) -> (A, B) {
    thread::scope(|scope| {
        let helper = scope.spawn(second);
        let own = first();
        match helper.join() {
            Ok(other) => (own, other),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// How many threads there is room for; asking the system takes long.
fn cores() -> usize {
    static CORES: OnceLock<usize> = OnceLock::new();
    *CORES.get_or_init(|| thread::available_parallelism().map_or(1, NonZeroUsize::get))
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

    #[test]
    fn answers_of_stretches_stand_in_the_order_of_the_numbers() {
        for count in [0, 1, STRETCH, 3 * STRETCH + 1] {
            let twice = in_stretches(count, |part| part.flat_map(|it| [it, it]).collect());
            let expected: Vec<usize> = (0..count).flat_map(|it| [it, it]).collect();
            assert_eq!(twice, expected);
        }
        assert_eq!(both(|| 1, || 2), (1, 2));
    }
}
