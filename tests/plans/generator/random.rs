//! Chance with a seed: the same number gives the same plan, for ever.

/// A splitting mixer of 64 bits (Steele, Lea, Flood 2014), from memory.
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        let mut it = Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0x5DEE_CE66);
        it.next();
        it
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        let bits = u32::try_from(self.next() >> 32).unwrap_or(0);
        f64::from(bits) / 4_294_967_296.0
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// One of the multiples of `step` from `low` to `high`.
    pub(crate) fn stepped(&mut self, low: f64, high: f64, step: f64) -> f64 {
        let first = (low / step).ceil();
        let last = (high / step).floor();
        if last <= first {
            return first * step;
        }
        (first + (self.unit() * (last - first + 1.0)).floor()) * step
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    pub(crate) fn index(&mut self, n: usize) -> usize {
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from(self.next() % n).unwrap_or(0)
    }

    pub(crate) fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.index(list.len())]
    }

    pub(crate) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            let j = self.index(i + 1);
            list.swap(i, j);
        }
    }
}
