//! Temporary.
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let f = &a[2];
    let bytes = std::fs::read(f).unwrap();
    let d = panelwright::drawing::read_drawing(&bytes, f, &panelwright::drawing::DrawingOptions::default()).unwrap();
    let mut fs = d.findings;
    let p = panelwright::plan::recover_plan(&[d.output], &panelwright::plan::PlanCorrections::default());
    fs.extend(p.findings);
    std::fs::create_dir_all(&a[4]).unwrap();
    std::fs::write(format!("{}/plan.json", a[4]), panelwright::documents::plan_json(&p.output, &fs)).unwrap();
}
