//! Where labels stand on a page.

use super::*;

#[test]
fn labels_stand_where_the_rules_of_the_page_say() {
    let mut rules = PlantRules::default().dispatch.labels;
    let one = places(&rules);
    // 6 in x 4 in are 152.4 mm x 101.6 mm.
    assert_eq!(one, [Area::new(0.0, 0.0, 152.4, 101.6)]);
    rules.columns = 2;
    rules.rows = 3;
    rules.left = Length::fraction(0, 1, 4);
    rules.top = Length::fraction(0, 1, 2);
    rules.gap = Length::fraction(0, 1, 8);
    rules.width = Length::inches(4);
    rules.height = Length::inches(3);
    let six = places(&rules);
    assert_eq!(six.len(), 6);
    let last = six[5];
    // Left 1/4 + 4 + 1/8 in, top 1/2 + 2 (3 + 1/8) in.
    assert!((last.x0 - 4.375 * 25.4).abs() < 1e-9);
    assert!((last.y0 - 6.75 * 25.4).abs() < 1e-9);
    assert!((last.width() - 4.0 * 25.4).abs() < 1e-9);
}
