//! Does the same to every thing of a list on as many threads as there are cores; the answers keep the order of the list.

use rayon::prelude::*;
use std::cmp::Ordering;
use std::ops::Range;

/// Numbers that one thread takes at a time, at least: enough to forget the cost of taking them.
const STRETCH: usize = 64;
/// So many things that take a few instructions each are worth a second thread.
const MANY: usize = 1024;
/// So many stretches are the most: more share no better.
const STRETCHES: usize = 1024;

/// The answer for each thing, in the order of the things: the same on any number of cores.
pub(crate) fn side_by_side<T: Sync, A: Send>(
    things: &[T],
    work: impl Fn(&T) -> A + Sync,
) -> Vec<A> {
    things.par_iter().with_max_len(1).map(&work).collect()
}

/// The answer for each number below a count, in their order: written where it stays.
pub(crate) fn one_each<A: Send>(count: usize, work: impl Fn(usize) -> A + Sync) -> Vec<A> {
    if count <= STRETCH {
        return (0..count).map(work).collect();
    }
    let numbers = (0..count).into_par_iter();
    numbers.with_min_len(STRETCH).map(&work).collect()
}

/// The answers for all numbers below a count, stretch by stretch, in their order: any number of answers for each.
pub(crate) fn in_stretches<A: Send>(
    count: usize,
    work: impl Fn(Range<usize>) -> Vec<A> + Sync,
) -> Vec<A> {
    if count <= STRETCH {
        return work(0..count);
    }
    let long = STRETCH.max(count.div_ceil(STRETCHES));
    let stretches: Vec<Range<usize>> = (0..count)
        .step_by(long)
        .map(|from| from..count.min(from + long))
        .collect();
    let answers: Vec<Vec<A>> = stretches.into_par_iter().map(&work).collect();
    let mut all = Vec::with_capacity(answers.iter().map(Vec::len).sum());
    for answer in answers {
        all.extend(answer);
    }
    all
}

/// Does a piece of work that is itself shared out many times on one of the threads it is shared among: from outside them, each
/// sharing out would wait for a thread to wake.
pub(crate) fn among_them<A: Send>(work: impl FnOnce() -> A + Send) -> A {
    rayon::scope(|_| work())
}

/// Two things done at once.
pub(crate) fn both<A: Send, B: Send>(
    first: impl FnOnce() -> A + Send,
    second: impl FnOnce() -> B + Send,
) -> (A, B) {
    rayon::join(first, second)
}

/// Two things done at once where each is to be done for so many things: a thread that sleeps takes longer to wake than a few take.
pub(crate) fn both_of_many<A: Send, B: Send>(
    count: usize,
    first: impl FnOnce() -> A + Send,
    second: impl FnOnce() -> B + Send,
) -> (A, B) {
    if count < MANY {
        return (first(), second());
    }
    both(first, second)
}

/// The same as [`one_each`] where the work is a few instructions.
pub(crate) fn one_of_many<A: Send>(count: usize, work: impl Fn(usize) -> A + Sync) -> Vec<A> {
    if count < MANY {
        return (0..count).map(work).collect();
    }
    let numbers = (0..count).into_par_iter();
    numbers.with_min_len(MANY / 2).map(&work).collect()
}

/// Sorts a long list as `sort_by` does: equal things keep their order.
pub(crate) fn sort_by<T: Send>(list: &mut [T], order: impl Fn(&T, &T) -> Ordering + Sync) {
    list.par_sort_by(order);
}

/// Sorts a long list by keys no two of which are equal.
pub(crate) fn sort_by_key<T: Send, K: Ord>(list: &mut [T], key: impl Fn(&T) -> K + Sync) {
    list.par_sort_unstable_by_key(key);
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
    fn what_is_equal_keeps_its_order() {
        let mut list: Vec<(u64, u64)> = (0..9999).map(|i| (i * 7919 % 10, i)).collect();
        let mut expected = list.clone();
        expected.sort();
        sort_by(&mut list, |p, q| p.0.cmp(&q.0));
        assert_eq!(list, expected);
    }

    #[test]
    fn answers_of_stretches_stand_in_the_order_of_the_numbers() {
        for count in [0, 1, STRETCH, 3 * STRETCH + 1] {
            let twice = in_stretches(count, |part| part.flat_map(|it| [it, it]).collect());
            let expected: Vec<usize> = (0..count).flat_map(|it| [it, it]).collect();
            assert_eq!(twice, expected);
            assert_eq!(one_each(count, |it| it), (0..count).collect::<Vec<_>>());
        }
        for count in [0, 1, MANY, 3 * MANY + 1] {
            assert_eq!(one_of_many(count, |it| it), (0..count).collect::<Vec<_>>());
            assert_eq!(both_of_many(count, || 1, || 2), (1, 2));
        }
        assert_eq!(both(|| 1, || 2), (1, 2));
    }
}
