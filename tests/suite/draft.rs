//! Small houses drawn for tests, as DXF text: walls as two faces, windows with glass, doors with swings, texts, bubbles, dimensions.

/// A house of the tests: outside 6.5 in walls round a rectangle, 4.5 in partitions from south to north.
#[derive(Clone, Debug)]
pub(crate) struct House {
    pub(crate) width: f64,
    pub(crate) depth: f64,
    /// Left faces of the partitions.
    pub(crate) partitions: Vec<f64>,
    /// Openings: wall (`S`, `N`, `W`, `E` or the number of a partition), nearer jamb along it, width, whether it is a door.
    pub(crate) openings: Vec<(Side, f64, f64, bool)>,
}

/// Which wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    South,
    North,
    West,
    East,
    Partition(usize),
}

/// Thickness of outside walls and of partitions, inches.
pub(crate) const OUTSIDE: f64 = 6.5;
pub(crate) const INSIDE: f64 = 4.5;

/// How the sheet lies: turned about the origin, moved, and in a unit of so many inches; handles from `handle` on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lie {
    pub(crate) turn_deg: f64,
    pub(crate) shift: (f64, f64),
    pub(crate) inches_per_unit: f64,
    pub(crate) handle: u32,
}

impl Lie {
    pub(crate) const STRAIGHT: Self = Self {
        turn_deg: 0.0,
        shift: (0.0, 0.0),
        inches_per_unit: 1.0,
        handle: 0x100,
    };

    /// A point of the house, inches, where it lies on the sheet, inches.
    pub(crate) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let (sine, cosine) = self.turn_deg.to_radians().sin_cos();
        (
            x * cosine - y * sine + self.shift.0,
            x * sine + y * cosine + self.shift.1,
        )
    }
}

/// A sheet in the making.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    lie: Lie,
    entities: Vec<String>,
}

impl Sheet {
    pub(crate) fn new(lie: Lie) -> Self {
        Self {
            lie,
            entities: Vec::new(),
        }
    }

    fn point(&self, codes: (i32, i32), x: f64, y: f64) -> String {
        let (x, y) = self.lie.at(x, y);
        let unit = self.lie.inches_per_unit;
        format!(
            "{}\n{:.9}\n{}\n{:.9}\n",
            codes.0,
            x / unit,
            codes.1,
            y / unit
        )
    }

    fn add(&mut self, kind: &str, layer: &str, body: &str) -> String {
        let handle = self.lie.handle + u32::try_from(self.entities.len()).unwrap();
        self.entities
            .push(format!("0\n{kind}\n5\n{handle:X}\n8\n{layer}\n{body}"));
        format!("{handle:X}")
    }

    pub(crate) fn line(&mut self, layer: &str, from: (f64, f64), to: (f64, f64)) {
        let body = self.point((10, 20), from.0, from.1) + &self.point((11, 21), to.0, to.1);
        self.add("LINE", layer, &body);
    }

    pub(crate) fn circle(&mut self, layer: &str, at: (f64, f64), radius: f64) {
        let radius = radius / self.lie.inches_per_unit;
        let body = self.point((10, 20), at.0, at.1) + &format!("40\n{radius:.9}\n");
        self.add("CIRCLE", layer, &body);
    }

    fn arc(&mut self, layer: &str, at: (f64, f64), radius: f64, from_deg: f64, to_deg: f64) {
        let radius = radius / self.lie.inches_per_unit;
        let (a, b) = (from_deg + self.lie.turn_deg, to_deg + self.lie.turn_deg);
        let body = self.point((10, 20), at.0, at.1)
            + &format!("40\n{radius:.9}\n50\n{a:.9}\n51\n{b:.9}\n");
        self.add("ARC", layer, &body);
    }

    /// A text about its middle.
    pub(crate) fn text(&mut self, at: (f64, f64), height: f64, words: &str) {
        let unit = self.lie.inches_per_unit;
        let body = self.point((10, 20), at.0, at.1)
            + &self.point((11, 21), at.0, at.1)
            + &format!(
                "40\n{:.9}\n1\n{words}\n50\n{:.9}\n72\n1\n73\n2\n",
                height / unit,
                self.lie.turn_deg
            );
        self.add("TEXT", "A-ANNO", &body);
    }

    /// A tag in a circle or, for windows, a hexagon.
    pub(crate) fn bubble(&mut self, at: (f64, f64), words: &str, is_hexagon: bool) {
        self.text(at, 5.0, words);
        if is_hexagon {
            let corner = |n: i32| {
                let (sine, cosine) = (f64::from(n) * 60.0).to_radians().sin_cos();
                (at.0 + 8.0 * cosine, at.1 + 8.0 * sine)
            };
            for n in 0..6 {
                self.line("A-ANNO", corner(n), corner(n + 1));
            }
        } else {
            self.circle("A-ANNO", at, 7.5);
        }
    }

    /// A level dimension between two points, its line at a height; returns its handle.
    pub(crate) fn dimension(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        lane: f64,
        words: &str,
    ) -> String {
        let body = self.point((10, 20), to.0, lane)
            + &self.point((11, 21), f64::midpoint(from.0, to.0), lane + 4.0)
            + &self.point((13, 23), from.0, from.1)
            + &self.point((14, 24), to.0, to.1)
            + &format!("1\n{words}\n70\n0\n50\n{:.9}\n", self.lie.turn_deg);
        self.add("DIMENSION", "A-DIMS", &body)
    }

    /// The house.
    pub(crate) fn house(&mut self, house: &House) {
        let (w, d, t) = (house.width, house.depth, OUTSIDE);
        let cuts = |side: Side| -> Vec<(f64, f64)> {
            house
                .openings
                .iter()
                .filter(|it| it.0 == side)
                .map(|it| (it.1, it.1 + it.2))
                .collect()
        };
        let tees: Vec<(f64, f64)> = house.partitions.iter().map(|x| (*x, x + INSIDE)).collect();
        for (side, is_level, out, inner, end) in [
            (Side::South, true, 0.0, t, w),
            (Side::North, true, d, d - t, w),
            (Side::West, false, 0.0, t, d),
            (Side::East, false, w, w - t, d),
        ] {
            let own = cuts(side);
            self.face(is_level, out, (0.0, end), &own);
            let mut inside = own.clone();
            if is_level {
                inside.extend(&tees);
            }
            self.face(is_level, inner, (t, end - t), &inside);
            self.jambs(is_level, (out, inner), &own);
        }
        for (number, x) in house.partitions.iter().enumerate() {
            let own = cuts(Side::Partition(number));
            self.face(false, *x, (t, d - t), &own);
            self.face(false, x + INSIDE, (t, d - t), &own);
            self.jambs(false, (*x, x + INSIDE), &own);
        }
        for (side, near, width, is_door) in &house.openings {
            let (is_level, low, high) = match side {
                Side::South => (true, 0.0, t),
                Side::North => (true, d - t, d),
                Side::West => (false, 0.0, t),
                Side::East => (false, w - t, w),
                Side::Partition(n) => (false, house.partitions[*n], house.partitions[*n] + INSIDE),
            };
            let point = |along: f64, across: f64| {
                if is_level {
                    (along, across)
                } else {
                    (across, along)
                }
            };
            if *is_door {
                // Hung on the nearer jamb, opening to the side of greater coordinates.
                let hinge = point(*near, high);
                let leaf = point(*near, high + width);
                self.line("A-DOOR", hinge, leaf);
                self.arc("A-DOOR", hinge, *width, 0.0, 90.0);
            } else {
                for share in [0.4, 0.6] {
                    let across = low + (high - low) * share;
                    self.line("A-GLAZ", point(*near, across), point(near + width, across));
                }
            }
        }
    }

    /// A face with gaps.
    fn face(&mut self, is_level: bool, across: f64, (from, to): (f64, f64), gaps: &[(f64, f64)]) {
        let mut gaps = gaps.to_vec();
        gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut at = from;
        for (a, b) in gaps.into_iter().chain([(to, to)]) {
            if a > at {
                if is_level {
                    self.line("A-WALL", (at, across), (a, across));
                } else {
                    self.line("A-WALL", (across, at), (across, a));
                }
            }
            at = at.max(b);
        }
    }

    fn jambs(&mut self, is_level: bool, (low, high): (f64, f64), cuts: &[(f64, f64)]) {
        for u in cuts.iter().flat_map(|cut| [cut.0, cut.1]) {
            if is_level {
                self.line("A-WALL", (u, low), (u, high));
            } else {
                self.line("A-WALL", (low, u), (high, u));
            }
        }
    }

    /// The entities turned over: another order in the file.
    pub(crate) fn turned_over(mut self) -> Self {
        self.entities.reverse();
        self
    }

    /// The file.
    pub(crate) fn dxf(&self) -> String {
        format!(
            "0\nSECTION\n2\nENTITIES\n{}0\nENDSEC\n0\nEOF\n",
            self.entities.concat()
        )
    }
}
