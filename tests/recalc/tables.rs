//! Published tables in a worked workbook: edits reach the look-ups, an index gives what going over all rows gives, warnings come
//! and go. Values: NEC 430.250 (50 hp 65 A, 60 hp 77 A at 460 V), NEMA MG 1 Table 12-12 (50 hp, 4 poles 94.5 %, read; 8 poles from memory).

use polepair::fault::Code;
use polepair::language::work::Outcome;
use polepair::recalc::{Engine, Results};
use polepair::workbook::change::Change;
use polepair::workbook::text;

const FEEDER: &str = "polepair 1
sheet feeder
  given P = 50 hp : rated power
  given V_n = 460 V : rated voltage
  given p_n = 4 pole : poles
  work I_fl = next_up(I for nec_430_250 at P = P where V = V_n) in A
  work eta_p = only(eta for nema_mg1_12_12 where nema_mg1_12_12.P = here.P and p = p_n and enclosure = \"enclosed\") in %
  work I_c = 1.25 * I_fl in A
";

fn set(quantity: &str, text: &str) -> Change {
    Change::SetValue {
        sheet: "feeder".into(),
        quantity: quantity.into(),
        case: None,
        text: text.into(),
    }
}

fn value(results: &Results, name: &str) -> String {
    let quantity = results.sheets[0]
        .quantities
        .iter()
        .find(|quantity| *quantity.name == *name)
        .unwrap();
    match &quantity.cells[0] {
        Outcome::Value(polepair::language::work::Value::Number(number)) => polepair::quantity::show::exact(number),
        other => format!("{other:?}"),
    }
}

fn codes(results: &Results) -> Vec<Code> {
    results.faults.iter().map(|placed| placed.fault.code).collect()
}

#[test]
fn an_edit_reaches_the_look_up_and_what_reads_it() {
    let mut engine = Engine::new(text::read(FEEDER));
    assert_eq!(value(engine.results(), "I_fl"), "65");
    let ran = engine.apply(&set("P", "60 hp")).unwrap();
    let mut worked: Vec<String> = ran.worked.iter().map(|worked| worked.line.name.to_string()).collect();
    worked.sort();
    worked.dedup();
    assert!(ran.checked.len() <= 1, "{:?}", ran.checked);
    assert!(
        ["I_c", "I_fl", "eta_p"]
            .iter()
            .all(|name| worked.contains(&(*name).to_owned())),
        "{worked:?}"
    );
    assert_eq!(value(engine.results(), "I_fl"), "77");
    assert_eq!(value(engine.results(), "I_c"), "96.25");
    // The same row again: what reads the current has nothing to do.
    let ran = engine.apply(&set("P", "55 hp")).unwrap();
    let reached = |name: &str| ran.worked.iter().any(|worked| &*worked.line.name == name);
    assert!(reached("I_fl") && !reached("I_c"), "{:?}", ran.worked);
}

#[test]
fn a_renamed_quantity_keeps_its_look_ups() {
    let mut engine = Engine::new(text::read(FEEDER));
    let back = Change::Rename {
        sheet: Some("feeder".into()),
        from: "P".into(),
        to: "P_m".into(),
    };
    engine.apply(&back).unwrap();
    let written = text::write(engine.workbook());
    assert!(
        written.contains("next_up(I for nec_430_250 at P = P_m where V = V_n)"),
        "{written}"
    );
    assert!(
        written.contains("where nema_mg1_12_12.P = here.P_m and p = p_n"),
        "{written}"
    );
    assert_eq!(value(engine.results(), "I_fl"), "65");
    assert_eq!(value(engine.results(), "eta_p"), "94.5");
    assert!(codes(engine.results()).is_empty());
}

#[test]
fn a_value_from_memory_warns_as_long_as_it_is_there() {
    let mut engine = Engine::new(text::read(FEEDER));
    assert!(codes(engine.results()).is_empty());
    engine.apply(&set("p_n", "8 pole")).unwrap();
    assert_eq!(codes(engine.results()), [Code::FROM_MEMORY]);
    let accepted = format!("{}\n", text::write(engine.workbook()).trim_end()).replace(
        "  work I_c",
        "  accept from-memory \"looked up in the printed standard\"\n  work I_c",
    );
    let settled = Engine::new(text::read(&accepted));
    assert!(codes(settled.results()).is_empty(), "{accepted}");
    assert_eq!(settled.results().accepted.len(), 1);
    engine.apply(&set("p_n", "4 pole")).unwrap();
    assert!(codes(engine.results()).is_empty());
}

#[test]
fn a_list_of_the_same_name_hides_the_table_until_it_goes() {
    let mut engine = Engine::new(text::read(FEEDER));
    let own = "list own\n  given P in hp : rated power\n  given V in V : rated voltage\n  given I in A : rated current\n  rows P | V | I\n    50 hp | 460 V | 1 A\n";
    let mut both = Engine::new(text::read(&format!("{FEEDER}\n{own}")));
    let rename = |from: &str, to: &str| Change::RenameSheet {
        from: from.into(),
        to: to.into(),
    };
    both.apply(&rename("own", "nec_430_250")).unwrap();
    assert_eq!(value(both.results(), "I_fl"), "1");
    assert_eq!(codes(both.results()), [Code::TABLE_HIDDEN]);
    let fresh = Engine::new(both.workbook().clone());
    assert_eq!(value(fresh.results(), "I_fl"), "1");
    engine.apply(&set("V_n", "480 V")).unwrap();
    assert_eq!(codes(engine.results()), [Code::NOT_IN_TABLE]);
}

/// Rows with listed and unlisted ratings, a blank, a voltage the table does not have: as a list of many rows (an index) and each
/// alone (all rows of the table gone over).
#[test]
fn an_index_gives_what_going_over_all_rows_gives() {
    let ratings = [
        "50 hp",
        "49 hp",
        "37.28499357911351 kW",
        "",
        "0.5 hp",
        "500 hp",
        "600 hp",
        "7.5 hp",
    ];
    let volts = ["460 V", "230 V", "480 V", "", "2300 V"];
    let unbalances = ["1.7 %", "3 %", "0 %", "7 %", ""];
    let head = "polepair 1\nlist motors\n  given tag : text\n  given P_n in hp : rated power\n  given V_n in V : rated voltage\n  \
                given u_V in % : voltage unbalance\n  given p_n = 4 pole : poles\n  \
                work a = only(I for nec_430_250 where P = P_n and V = V_n) in A\n  \
                work b = next_up(I for nec_430_250 at P = P_n where V = V_n) in A\n  \
                work c = interpolated(k for nema_mg1_14_1 at u = u_V where reading = 1)\n  \
                work d = nearest(eta for nema_mg1_12_12 at P = P_n where enclosure = \"open\" and p = p_n) in %\n  \
                work e = count(nec_430_250 where V = V_n and P <= P_n)\n  \
                work g = first(I for nec_430_250 where V_n = V) in A\n  rows tag | P_n | V_n | u_V\n";
    let mut rows = Vec::new();
    for rating in ratings {
        for volts in volts {
            for unbalance in unbalances {
                rows.push(format!("    \"m\" | {rating} | {volts} | {unbalance}\n"));
            }
        }
    }
    assert_eq!(rows.len(), 200);
    let many = Engine::new(text::read(&format!("{head}{}", rows.concat())));
    let whole = |results: &Results, row: usize| -> Vec<String> {
        let quantities = results.sheets[0]
            .quantities
            .iter()
            .filter(|quantity| quantity.name.len() == 1);
        quantities
            .map(|quantity| match &quantity.cells[row] {
                Outcome::Fault(fault) => format!("{} {}", fault.code.word(), fault.message),
                // The number of the row is in the words.
                Outcome::Blank(why) => why.split(" in row").next().unwrap().to_owned(),
                other => format!("{other:?}"),
            })
            .collect()
    };
    for (row, text_of_row) in rows.iter().enumerate() {
        let alone = Engine::new(text::read(&format!("{head}{text_of_row}")));
        assert_eq!(whole(many.results(), row), whole(alone.results(), 0), "{text_of_row}");
    }
}
