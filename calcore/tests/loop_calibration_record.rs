//! The record and plain tables: round trips to the last bit, every change seen.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::decision::Verdict;
use calcore::loop_calibration::{
    AdjustmentEvent, CalibrationFile, CertificateDetails, Mapping, Phase, ReadingColumns, Run, Table, TagColumn,
    check_record, conformity_word, content_hash, evaluate_all, record,
};
use serde_json::Value;

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

fn run() -> Run {
    Run::from_json(SAMPLE).unwrap()
}

fn file() -> CalibrationFile {
    let mut file = CalibrationFile::begin(run()).unwrap();
    let words = |text: &str| text.to_owned();
    file.adjust(AdjustmentEvent {
        tag: words("TT-4107 mA"),
        parameter: words("output trim"),
        old: words("4/20"),
        new: words("4.022/20.061"),
        reason: words("error of the output stage"),
        by: words("A. N. Other"),
        when: words("2026-03-04"),
    })
    .unwrap();
    let mut left = run();
    left.phase = Phase::AsLeft;
    for reading in left.set_points.iter_mut().flat_map(|point| &mut point.readings) {
        if reading.tag == "TT-4107 mA" {
            reading.value.iter_mut().for_each(|value| *value -= 0.026);
        }
    }
    file.finish(left).unwrap();
    file
}

fn details() -> CertificateDetails {
    CertificateDetails { title: Some("Calibration certificate".into()), ..CertificateDetails::default() }
}

#[test]
fn a_record_is_computed_again_bit_for_bit() {
    let kept = record(&file(), &details()).unwrap();
    assert_eq!(kept, record(&file(), &details()).unwrap());
    let check = check_record(&kept).unwrap();
    assert!(check.unchanged && check.differences.is_empty());
    assert_eq!((check.calibration.clone(), check.certificate.clone()), (file(), details()));
    assert_eq!(record(&check.calibration, &check.certificate).unwrap(), kept);
    // Laid out otherwise, with keys in another order, it is the same content.
    let value: Value = serde_json::from_str(&kept).unwrap();
    let again = check_record(&serde_json::to_string_pretty(&value).unwrap()).unwrap();
    assert!(again.unchanged && again.content_hash == check.content_hash);
}

#[test]
fn every_change_is_seen() {
    let kept = record(&file(), &details()).unwrap();
    let value: Value = serde_json::from_str(&kept).unwrap();
    // One digit of a reading: the hash and the numbers that rest on it.
    let mut reading = value.clone();
    let one = &mut reading["calibration"]["as_found"]["set_points"][0]["readings"][4]["value"][0];
    *one = (one.as_f64().unwrap() + 0.1).into();
    let check = check_record(&reading.to_string()).unwrap();
    assert!(!check.unchanged && !check.differences.is_empty());
    // One bit of a result.
    let mut result = value.clone();
    let one = &mut result["as_found"]["instruments"][0]["points"][0]["error_k"];
    *one = f64::from_bits(one.as_f64().unwrap().to_bits() + 1).into();
    let check = check_record(&result.to_string()).unwrap();
    assert!(!check.unchanged);
    assert_eq!(check.differences, ["as_found.instruments[0].points[0].error_k"]);
    // A word of the certificate: no number differs, but the hash does.
    let mut word = value.clone();
    word["certificate"]["title"] = "Other".into();
    let check = check_record(&word.to_string()).unwrap();
    assert!(!check.unchanged && check.differences.is_empty());
    let mut version = value.clone();
    version["record_version"] = 2.into();
    assert!(check_record(&version.to_string()).unwrap_err().to_string().contains("record_version"));
    assert_eq!(check_record("{}").map_err(|error| error.code()), Err(301));
    let mut unknown = value;
    unknown["verdikt"] = 1.into();
    assert!(check_record(&unknown.to_string()).unwrap_err().to_string().contains("verdikt"));
}

/// FIPS PUB 180-4: the digest of "abc" and of the empty message.
#[test]
fn the_hash_is_sha_256() {
    assert_eq!(content_hash("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_eq!(content_hash(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

#[test]
fn six_words() {
    let all = [
        (Verdict::Pass, "pass"),
        (Verdict::Fail, "fail"),
        (Verdict::ConditionalPass, "conditionalPass"),
        (Verdict::ConditionalFail, "conditionalFail"),
        (Verdict::NoPass, "noPass"),
        (Verdict::NoFail, "noFail"),
    ];
    assert!(all.iter().all(|(verdict, word)| conformity_word(*verdict) == *word));
}

#[test]
fn certificate_names_what_is_missing() {
    let result = run().evaluate().unwrap();
    let certificate = result.certificate(&details());
    assert_eq!(certificate.rows.len(), 30);
    assert!(certificate.missing.iter().all(|(_, name)| name != "title"));
    assert!(certificate.missing.contains(&("7.8.4.1 c".to_owned(), "traceability".to_owned())));
    assert_eq!(certificate.missing.len(), 12);
    assert!(certificate.notes.iter().any(|note| note.contains("burn")));
    for row in &certificate.rows {
        let places = |text: &str| text.split('.').nth(1).map_or(0, str::len);
        assert_eq!(places(&row.error), places(&row.expanded_uncertainty));
        let digits = row.expanded_uncertainty.trim_start_matches(['0', '.']).len();
        assert!(digits <= 2 || !row.expanded_uncertainty.contains('.'), "{}", row.expanded_uncertainty);
    }
}

/// Every number of the points' text reads back to the bits that were written.
#[test]
fn points_as_text() {
    let result = run().evaluate().unwrap();
    let text = result.points_csv();
    let lines: Vec<Vec<&str>> = text.lines().map(|line| line.split(',').collect()).collect();
    let column = |name: &str| lines[0].iter().position(|one| *one == name).unwrap();
    assert!(lines.iter().all(|line| line.len() == lines[0].len()) && lines.len() == 31);
    let mut rows = lines[1..].iter();
    for instrument in &result.instruments {
        for point in &instrument.points {
            let row = rows.next().unwrap();
            assert_eq!(row[column("tag")], instrument.tag);
            let number = |name: &str| row[column(name)].parse::<f64>().unwrap().to_bits();
            assert_eq!(number("error_k"), point.error_k.to_bits());
            assert_eq!(number("expanded_uncertainty_k"), point.expanded_uncertainty_k.to_bits());
            assert_eq!(row[column("conformity")], conformity_word(point.verdict));
        }
    }
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let runs = vec![run(); 7];
    let one = evaluate_all(&runs, 1);
    for threads in [0, 2, 3, 16] {
        assert_eq!(evaluate_all(&runs, threads), one);
    }
    assert!(evaluate_all::<Run>(&[], 4).is_empty());
}

/// The sample written as a long table and read again is the same run, to the bit, and so is its result.
#[test]
fn a_table_and_back() {
    let sample = run();
    let mut text = String::from("when,at,towards,tag,value\n");
    for point in &sample.set_points {
        let towards = serde_json::to_value(point.direction).unwrap();
        for reading in &point.readings {
            for (time, value) in reading.time_s.iter().zip(&reading.value) {
                let towards = towards.as_str().unwrap_or("");
                text += &format!("{time},{},{towards},\"{}\",{value}\n", point.nominal_c, reading.tag);
            }
        }
    }
    let long = Mapping {
        time: "when".into(),
        set_point: "at".into(),
        direction: Some("towards".into()),
        readings: ReadingColumns::Long { tag: "tag".into(), value: "value".into() },
        decimal_mark: '.',
    };
    let (read, left_out) = run().with_table(&Table::from_csv(&text, ',').unwrap(), &long).unwrap();
    assert!(left_out.is_empty() && read == sample);
    assert_eq!(read.evaluate().unwrap().to_json().unwrap(), sample.evaluate().unwrap().to_json().unwrap());
}

fn wide(columns: &[(&str, &str)]) -> Mapping {
    let columns = columns.iter().map(|(tag, column)| TagColumn { tag: (*tag).into(), column: (*column).into() });
    Mapping {
        time: "t".into(),
        set_point: "sp".into(),
        direction: None,
        readings: ReadingColumns::Wide(columns.collect()),
        decimal_mark: '.',
    }
}

#[test]
fn arrays_with_gaps() {
    let table = Table::from_arrays(&[
        ("t", &[0.0, 30.0, 60.0, 400.0]),
        ("sp", &[50.0, 50.0, 50.0, 100.0]),
        ("ref", &[119.4, 119.4, 119.4, 138.5]),
        ("tic", &[f64::NAN, 50.2, f64::NAN, f64::NAN]),
    ])
    .unwrap();
    let (read, left_out) = run().with_table(&table, &wide(&[("REF-01", "ref"), ("TIC-4107", "tic")])).unwrap();
    assert_eq!((read.set_points.len(), left_out.len()), (2, 3));
    assert_eq!(read.set_points[0].readings[1].value, [50.2]);
    assert_eq!(read.set_points[1].readings.len(), 1);
    // Nothing is invented: the evaluation has no point of it at 100 °C and says so.
    let result = read.evaluate().unwrap();
    assert_eq!(result.instrument("TIC-4107").unwrap().points.len(), 1);
    assert!(result.warnings.iter().any(|w| w.code == "not_read" && w.path == "set_points[1].readings"));
}

#[test]
fn all_faults_of_a_table_at_once() {
    let said = |text: &str, mapping: &Mapping| {
        let table = Table::from_csv(text, ',').map_err(|error| error.to_string());
        table.and_then(|table| run().with_table(&table, mapping).map_err(|error| error.to_string())).unwrap_err()
    };
    let mapping = wide(&[("REF-01", "ref"), ("TIC-4107", "tic")]);
    let faults = said("t,sp,ref,tic\n0,50,abc,1\n00:70:00,50,119,1\n60,fifty,119,nan\n", &mapping);
    for part in [
        "row 1, column \"ref\": \"abc\" is no number",
        "row 2, column \"t\": \"00:70:00\" is no number",
        "row 3, column \"sp\": \"fifty\" is no number",
    ] {
        assert!(faults.contains(part), "{faults}");
    }
    assert!(said("t,sp,ref\n0,50,119\n", &mapping).contains("tic: no column has this name: t, sp, ref"));
    assert!(said("t,sp,ref,tic\n0,50,119\n", &mapping).contains("row 1: 3 cells for 4 columns"));
    assert!(said("t,sp,ref,tic\n0,50,\"119\n", &mapping).contains("a double quote is not closed"));
    // Two readings of one instrument at one time.
    assert!(said("t,sp,ref,tic\n0,50,119.4,50\n0,50,119.4,50\n", &mapping).contains("must be later than the reading"));
    // A decimal comma where a point is expected is no number, not a hundred times as much.
    let mut comma = mapping;
    comma.decimal_mark = ',';
    assert!(run().with_table(&Table::from_csv("t;sp;ref;tic\n0;50;119.4;50\n", ';').unwrap(), &comma).is_err());
}

/// The second sample, with all that came after the first version, round-trips and shows what was put into it: an element
/// read by coefficients that are not its own, 0.05 K of hysteresis on the way down, two references that agree.
#[test]
fn the_second_sample() {
    let text = include_str!("../../tests/data/reactor_loop_as_found.json");
    let run = Run::from_json(text).unwrap();
    assert_eq!(Run::from_json(&run.to_json().unwrap()).unwrap(), run);
    let result = run.evaluate().unwrap();
    assert!(result.reference_comparisons.len() == 7 && result.reference_comparisons.iter().all(|one| one.agree));
    assert!(result.warnings.iter().all(|w| w.code != "reference_not_steady"), "{:?}", result.warnings);
    let figures = result.figures("TT-2203").unwrap();
    // Rounding to 0.001 mA, 0.0125 K, on both sides.
    assert!((figures.hysteresis_k.unwrap() - 0.05).abs() < 0.0125);
    assert!(figures.linearity.is_some());
    assert_eq!(result.attribution.len(), 2);
    let file = CalibrationFile::begin(run).unwrap();
    let kept = record(&file, &CertificateDetails::default()).unwrap();
    assert!(check_record(&kept).unwrap().differences.is_empty());
    let best = &result.adjustments().unwrap()[0];
    assert!(best.within_tolerance, "{best:?}");
}
