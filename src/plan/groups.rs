//! What hangs together: things joined two by two, each group known by the least of its members.
//!
//! ```text
//!   0 ─ 2 ─ 5    1    3 ─ 4      groups 0, 1, 3: whatever the order in which they were joined
//! ```

/// Things by number, each alone at first.
pub(super) struct Groups(Vec<usize>);

impl Groups {
    /// So many things, each alone.
    pub(super) fn new(n: usize) -> Self {
        Self((0..n).collect())
    }

    /// The least of those that a thing hangs together with. The way there is halved, so that many questions cost no more
    /// than a few steps each.
    pub(super) fn least(&mut self, mut i: usize) -> usize {
        let list = &mut self.0;
        while list[i] != i {
            list[i] = list[list[i]];
            i = list[i];
        }
        i
    }

    /// Joins the groups of two things.
    pub(super) fn join(&mut self, a: usize, b: usize) {
        let (p, q) = (self.least(a), self.least(b));
        self.0[p.max(q)] = p.min(q);
    }

    /// For each number the members of the group that it is the least of, rising; none for one that is not.
    pub(super) fn members(&mut self) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); self.0.len()];
        for i in 0..members.len() {
            members[self.least(i)].push(i);
        }
        members
    }
}

#[cfg(test)]
mod tests {
    use super::Groups;

    #[test]
    fn a_group_is_known_by_its_least_whatever_the_order() {
        let pairs = [[5, 2], [4, 3], [2, 0], [0, 5]];
        let expected = [vec![0, 2, 5], vec![1], vec![], vec![3, 4], vec![], vec![]];
        for turn in 0..pairs.len() {
            let mut groups = Groups::new(6);
            for [a, b] in pairs.iter().cycle().skip(turn).take(pairs.len()) {
                groups.join(*a, *b);
            }
            assert_eq!(groups.members(), expected);
            assert_eq!(groups.least(5), 0);
        }
    }

    #[test]
    fn a_long_chain_is_walked_in_few_steps() {
        let n = 2000;
        let mut groups = Groups::new(n);
        for i in (1..n).rev() {
            groups.join(i - 1, i);
        }
        assert!((0..n).all(|i| groups.least(i) == 0));
        assert!(groups.0.iter().all(|to| *to == 0));
    }
}
