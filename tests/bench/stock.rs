//! How good and how fast the stock solvers are: `cargo bench --bench stock -- [MILLIONS OF STEPS] [SET...]`. Figures, no verdict.
//!
//! Sets: `bmv500`, `csp2d_30` (published, in ../shared/data, with the best values known), `jobs` (invented pieces in blanks of
//! 96 x 288 in), `bars` (generated after Falkenauer 1996 and Schwerin and Waescher 1997). Seconds are of this process on a
//! processor, not of the clock on the wall. With `EACH=FILE` the results of each instance are written there too.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use panelwright::stock::solve::{
    Bar, Effort, FirstCut, Length1, Piece, Saw, Sheet, check_bar_bound, check_bound, cut_bars,
    cut_sheets, replay, replay_bars,
};
use std::fmt::Write as _;
use std::fs;

/// What the sums of a set come to.
#[derive(Default)]
struct Sums {
    n: u32,
    met: u32,
    one_over: u32,
    worst: i64,
    used: i64,
    best: i64,
    bound_met: u32,
    bound_within_one: u32,
    bound_above: u32,
    proved: u32,
    seconds: f64,
    longest: f64,
}

impl Sums {
    fn add(&mut self, used: i64, best: i64, bound: i64, seconds: f64) {
        self.n += 1;
        self.met += u32::from(used <= best);
        self.one_over += u32::from(used == best + 1);
        self.worst = self.worst.max(used - best);
        self.used += used;
        self.best += best;
        self.bound_met += u32::from(bound == best);
        self.bound_within_one += u32::from(best - bound <= 1);
        self.bound_above += u32::from(bound > best);
        self.proved += u32::from(bound == used);
        self.seconds += seconds;
        self.longest = self.longest.max(seconds);
    }

    fn print(&self, name: &str) {
        println!(
            "{name:9} n {:3} | at best {:3}, one over {:2}, worst {:+}, stock {} of {} | bound at best {:3}, within one {:3}, above {} | proved {:3} | {:.3} s mean, {:.2} s longest",
            self.n,
            self.met,
            self.one_over,
            self.worst,
            self.used,
            self.best,
            self.bound_met,
            self.bound_within_one,
            self.bound_above,
            self.proved,
            self.seconds / f64::from(self.n.max(1)),
            self.longest,
        );
    }
}

fn main() {
    let mut words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|it| it != "--bench")
        .collect();
    let millions: f64 = words.first().and_then(|it| it.parse().ok()).unwrap_or(15.0);
    words.retain(|it| it.parse::<f64>().is_err());
    let asked = |name: &str| words.is_empty() || words.iter().any(|it| it == name);
    let effort = Effort(format!("{:.0}", millions * 1e6).parse().unwrap_or_default());
    println!("{millions} million steps");
    for (name, best, items) in [("bmv500", 4, 8), ("csp2d_30", 6, 12)] {
        if asked(name) {
            published(name, best, items, effort);
        }
    }
    if asked("jobs") {
        jobs(effort);
    }
    if asked("bars") {
        bars(effort);
    }
}

/// Seconds this thread has been on a processor.
fn on_processor() -> f64 {
    let text = fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = text
        .split_whitespace()
        .next()
        .and_then(|it| it.parse::<f64>().ok());
    nanoseconds.unwrap_or(f64::NAN) / 1e9
}

fn piece(text: &str) -> Option<Piece> {
    let numbers: Vec<i64> = text
        .trim()
        .split('x')
        .map_while(|it| it.parse().ok())
        .collect();
    Some(Piece {
        width: *numbers.first()?,
        height: *numbers.get(1)?,
        count: u32::try_from(numbers.get(2).copied().unwrap_or(1)).ok()?,
        may_turn: false,
        batch: 0,
    })
}

fn published(name: &str, best_at: usize, items_at: usize, effort: Effort) {
    let file = format!("../shared/data/{name}.tsv");
    let Ok(text) = fs::read_to_string(&file) else {
        println!("!!!!!!! NOT MEASURED: {file} is not here");
        return;
    };
    let names = std::env::var("NAMES").unwrap_or_default();
    let saw = Saw {
        kerf: 0,
        trim: 0,
        first_cut: FirstCut::Either,
        window: None,
    };
    let (mut sums, mut each) = (Sums::default(), String::new());
    for line in text.lines().skip(1) {
        let fields: Vec<&str> = line.split('\t').collect();
        let number = |at: usize| fields.get(at).and_then(|it| it.parse::<i64>().ok());
        let (Some(width), Some(height), Some(best)) = (number(1), number(2), number(best_at))
        else {
            println!("!!!!!!! NOT READ: {line}");
            continue;
        };
        if !names.is_empty() && !names.split_whitespace().any(|it| it == fields[0]) {
            continue;
        }
        let sheets = [Sheet {
            width,
            height,
            on_hand: None,
            cost: 1,
        }];
        let pieces: Vec<Piece> = fields[items_at].split(';').filter_map(piece).collect();
        let start = on_processor();
        let Ok(plan) = cut_sheets(&sheets, &pieces, &saw, effort) else {
            println!("!!!!!!! NO PLAN: {}", fields[0]);
            continue;
        };
        let seconds = on_processor() - start;
        if let Err(why) = replay(&sheets, &pieces, &saw, &plan.sheets) {
            println!("!!!!!!! WRONG PLAN of {}: {why}", fields[0]);
        }
        if !check_bound(&sheets, &pieces, &saw, &plan.bound) {
            println!("!!!!!!! WRONG BOUND of {}", fields[0]);
        }
        let used = i64::try_from(plan.sheets.len()).unwrap_or(i64::MAX);
        let bound = i64::from(plan.bound.sheets);
        sums.add(used, best, bound, seconds);
        let scope = plan.bound.scope;
        let _ = writeln!(
            each,
            "{}\t{used}\t{best}\t{bound}\t{scope:?}\t{seconds:.3}",
            fields[0]
        );
    }
    sums.print(name);
    if let Ok(file) = std::env::var("EACH")
        && let Err(error) = fs::write(&file, each)
    {
        println!("{file}: {error}");
    }
}

/// Small whole numbers that look random and are always the same.
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, from: i64, to: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        from + i64::try_from(self.0 >> 33).unwrap_or_default() % (to - from + 1)
    }
}

/// Invented jobs in sixteenths of an inch: kerf 3/16, trim 1/4. There is no best value: the bound stands for it.
fn jobs(effort: Effort) {
    for (seed, n) in [(1, 30), (2, 60), (3, 100), (4, 150), (5, 150), (6, 150)] {
        let mut numbers = Numbers(seed);
        let pieces: Vec<Piece> = (0..n)
            .map(|_| Piece {
                width: numbers.between(12 * 16, 94 * 16),
                height: numbers.between(24 * 16, 160 * 16),
                count: 1,
                may_turn: false,
                batch: 0,
            })
            .collect();
        let saw = Saw {
            kerf: 3,
            trim: 4,
            first_cut: FirstCut::Either,
            window: None,
        };
        let sheets = [Sheet {
            width: 96 * 16,
            height: 288 * 16,
            on_hand: None,
            cost: 1,
        }];
        let start = on_processor();
        let Ok(plan) = cut_sheets(&sheets, &pieces, &saw, effort) else {
            println!("!!!!!!! NO PLAN: {n} pieces");
            continue;
        };
        let seconds = on_processor() - start;
        let held = replay(&sheets, &pieces, &saw, &plan.sheets).is_ok()
            && check_bound(&sheets, &pieces, &saw, &plan.bound);
        println!(
            "job of {n} pieces, seed {seed}: {} blanks, bound {} ({:?}), {seconds:.2} s{}",
            plan.sheets.len(),
            plan.bound.sheets,
            plan.bound.scope,
            if held { "" } else { " !!!!!!! NOT HELD" },
        );
    }
}

/// Equal lengths counted.
fn counted(mut lengths: Vec<i64>) -> Vec<Length1> {
    lengths.sort_unstable();
    let mut pieces: Vec<Length1> = Vec::new();
    for length in lengths {
        match pieces.last_mut() {
            Some(last) if last.length == length => last.count += 1,
            _ => pieces.push(Length1 { length, count: 1 }),
        }
    }
    pieces
}

fn triplets(numbers: &mut Numbers, n: i64) -> Vec<Length1> {
    let mut lengths = Vec::new();
    for _ in 0..n / 3 {
        let a = numbers.between(380, 490);
        let b = numbers.between(250, (1000 - a) / 2);
        lengths.extend([a, b, 1000 - a - b]);
    }
    counted(lengths)
}

/// Generated sets of one length; of triplets the optimum is known, of the others the bound stands for it.
fn bars(effort: Effort) {
    let mut numbers = Numbers(12345);
    let mut sets: Vec<(String, i64, Vec<Vec<Length1>>)> = Vec::new();
    let mut uniform =
        |n: i64, from: i64, to: i64| counted((0..n).map(|_| numbers.between(from, to)).collect());
    for n in [120, 250, 500, 1000] {
        let cases = (0..20).map(|_| uniform(n, 20, 100)).collect();
        sets.push((format!("uniform {n}"), 150, cases));
    }
    for n in [100, 120] {
        let cases = (0..50).map(|_| uniform(n, 150, 200)).collect();
        sets.push((format!("Schwerin {n}"), 1000, cases));
    }
    for n in [60, 120, 249, 501] {
        let cases = (0..20).map(|_| triplets(&mut numbers, n)).collect();
        sets.push((format!("triplets {n}"), 1000, cases));
    }
    for (name, length, cases) in sets {
        let mut sums = Sums::default();
        for pieces in cases {
            let bars = [Bar {
                length,
                on_hand: None,
                cost: 1,
            }];
            let start = on_processor();
            let Ok(plan) = cut_bars(&bars, &pieces, 0, 0, effort) else {
                println!("!!!!!!! NO PLAN: {name}");
                continue;
            };
            let seconds = on_processor() - start;
            let held = replay_bars(&bars, &pieces, 0, 0, &plan.bars).is_ok()
                && check_bar_bound(&bars, &pieces, 0, 0, &plan.bound);
            if !held {
                println!("!!!!!!! NOT HELD: {name}");
            }
            let all: i64 = pieces
                .iter()
                .map(|it| it.length * i64::from(it.count))
                .sum();
            let bound = i64::from(plan.bound.bars);
            let best = if name.starts_with("triplets") {
                all / length
            } else {
                bound
            };
            let used = i64::try_from(plan.bars.len()).unwrap_or(i64::MAX);
            sums.add(used, best, bound, seconds);
        }
        sums.print(&name);
    }
}
