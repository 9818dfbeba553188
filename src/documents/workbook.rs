//! All lists in one workbook, `lists/lists.xlsx`: a sheet each, frozen and filtered heads, totals, set up for print.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, Formula, Workbook, Worksheet, XlsxError,
};
use std::collections::BTreeMap;

/// Columns of numbers that have no unit in their name.
const COUNTS: [&str; 17] = [
    "ticket",
    "press cycle",
    "erection",
    "quantity",
    "holes",
    "piece",
    "jacks each end",
    "layer",
    "order",
    "truck",
    "with allowance",
    "bevelled edges",
    "sloped edges",
    "corners by hand",
    "recessed edges",
    "chases to make",
    "glue lines",
];
/// Units that are added up.
const ADDED: [&str; 5] = ["(sq ft)", "(lb)", "(cu ft)", "(bd ft)", "(money)"];
/// Taken when the job has no date: the file needs one, and the clock must not enter it.
const NO_DATE: (u16, u8, u8) = (2000, 1, 1);

/// The bytes of the workbook of lists.
///
/// - `lists`: files of the package; those in `lists/` that end in `.csv` become sheets, sorted by name.
/// - `date`: `YYYY-MM-DD` of the job, which the file bears as its day of making; same lists and date, same bytes.
///
/// # Errors
/// [`XlsxError`]: a list with more columns, rows or letters than a workbook holds.
pub fn workbook(
    lists: &BTreeMap<String, Vec<u8>>,
    date: &str,
    title: &str,
) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let (year, month, day) = parts(date).unwrap_or(NO_DATE);
    let made = ExcelDateTime::from_ymd(year, month, day)?;
    book.set_properties(
        &DocProperties::new()
            .set_title(title)
            .set_creation_datetime(&made),
    );
    for (path, bytes) in lists {
        let name = path
            .strip_prefix("lists/")
            .and_then(|it| it.strip_suffix(".csv"));
        if let Some(name) = name {
            let sheet = book.add_worksheet();
            sheet.set_name(name)?;
            fill(sheet, bytes)?;
        }
    }
    book.save_to_buffer()
}

fn parts(date: &str) -> Option<(u16, u8, u8)> {
    let mut parts = date.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    Some((year.parse().ok()?, month.parse().ok()?, day.parse().ok()?))
}

fn fill(sheet: &mut Worksheet, bytes: &[u8]) -> Result<(), XlsxError> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(bytes);
    let rows: Vec<csv::StringRecord> = reader.records().filter_map(Result::ok).collect();
    let Some((heads, rows)) = rows.split_first() else {
        return Ok(());
    };
    let bold = Format::new().set_bold();
    let mut n_columns = 0;
    for (column, head) in (0_u16..).zip(heads) {
        sheet.write_string_with_format(0, column, head, &bold)?;
        n_columns = column;
    }
    let mut last = 0;
    let mut sums: BTreeMap<u16, f64> = BTreeMap::new();
    for (line, row) in (1_u32..).zip(rows) {
        last = line;
        for ((column, head), text) in (0_u16..).zip(heads).zip(row) {
            let is_number =
                (head.ends_with(')') && !head.contains("ft-in")) || COUNTS.contains(&head);
            match text
                .parse::<f64>()
                .ok()
                .filter(|it| is_number && it.is_finite())
            {
                Some(number) => {
                    sheet.write_number(line, column, number)?;
                    if ADDED.iter().any(|unit| head.ends_with(unit)) {
                        *sums.entry(column).or_default() += number;
                    }
                }
                None => {
                    sheet.write_string(line, column, text)?;
                }
            }
        }
    }
    if last > 0 {
        sheet.autofilter(0, 0, last, n_columns)?;
        for (column, sum) in sums {
            let name = rust_xlsxwriter::utility::column_number_to_name(column);
            // It adds up what the filter leaves.
            let formula = Formula::new(format!("=SUBTOTAL(109,{name}2:{name}{})", last + 1))
                .set_result(format!("{sum:.3}"));
            // A row is left free, so that the filter never takes the sum for a row.
            sheet.write_formula_with_format(last + 2, column, formula, &bold)?;
        }
    }
    sheet.set_freeze_panes(1, 0)?;
    sheet.set_landscape();
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    sheet.set_footer("&L&A&RPage &P of &N");
    sheet.autofit();
    Ok(())
}
