//! Endless, deep and broken formulas: a fault, quickly, never a crash.

use polepair::language::syntax::{Node, parse};

/// On a small stack, as a worker thread may have.
fn code_on_small_stack(text: String) -> String {
    std::thread::Builder::new()
        .stack_size(2 << 20)
        .spawn(move || {
            let (tree, faults) = parse(&text);
            drop(tree);
            faults
                .first()
                .map_or("none".to_owned(), |fault| fault.code.word().to_owned())
        })
        .unwrap()
        .join()
        .unwrap()
}

#[test]
fn hostile_formulas_are_faults() {
    for text in [
        "(".repeat(100_000),
        "(".repeat(7_000),
        format!("{}1{}", "(".repeat(100_000), ")".repeat(100_000)),
        format!("{}1{}", "(".repeat(3_000), ")".repeat(3_000)),
        format!("2{}", "^2".repeat(3_000)),
        format!("2{}", "^2".repeat(1_000_000)),
        format!("{}1", "-".repeat(7_000)),
        format!("{}a", "not ".repeat(1_900)),
        format!("{}a", "√".repeat(2_000)),
        format!("a{}", " else a".repeat(1_000)),
        format!("1{}", "+1".repeat(3_000)),
        "a".repeat(1 << 20),
        "1".repeat(1 << 20),
        "\"".repeat(1 << 20),
        format!("{}1{}", "f(".repeat(201), ")".repeat(201)),
        format!("{}1{}", "-(".repeat(150), ")".repeat(150)),
    ] {
        let start: String = text.chars().take(20).collect();
        assert_eq!(code_on_small_stack(text), "too-long", "{start}…");
    }
}

#[test]
fn broken_formulas_end() {
    for text in [
        ")".repeat(7_000),
        ",".repeat(7_000),
        "a b ".repeat(1_900),
        "f(a b) ".repeat(1_000),
        "((a b)".repeat(150),
        "a when ".repeat(1_000),
        "\0\u{1}\u{2}".to_owned(),
        "\u{1}".to_owned(),
        format!("a{}", "²".repeat(2_000)),
        "sum(sum(sum(".repeat(60),
        "f(a, a when b, ".repeat(190),
        "🦀".repeat(1_000),
    ] {
        let start: String = text.chars().take(20).collect();
        assert_ne!(code_on_small_stack(text), "none", "{start}…");
    }
}

#[test]
fn what_is_just_allowed_is_read() {
    for text in [
        format!("{}1{}", "(".repeat(195), ")".repeat(195)),
        format!("2{}", "^2".repeat(190)),
        format!("{}1{}", "f(a, ".repeat(195), ")".repeat(195)),
        format!("{}1{}", "(a when b, otherwise ".repeat(195), ")".repeat(195)),
        format!("{}1{}", "-(".repeat(98), ")".repeat(98)),
        format!("{}1{}", "sum(x for a where ".repeat(195), ")".repeat(195)),
        format!("1{}", " + 1".repeat(999)),
        format!("1{}", " * a".repeat(999)),
    ] {
        let start: String = text.chars().take(20).collect();
        assert_eq!(code_on_small_stack(text), "none", "{start}…");
    }
}

#[test]
fn an_endless_formula_has_a_tree_too() {
    assert!(matches!(parse(&"(".repeat(100_000)).0.node, Node::Bad));
}
