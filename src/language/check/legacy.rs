//! Constants that already contain a unit conversion: one table of numbers and of the kinds they belong to.
//!
//! For: 120·f/p, 9550·P/n, T·n/5252 and the like, which give a wrong number where units are converted.
//! Always: a constant is only looked at beside the kinds it belongs to; 120 lamps of 40 W are fine.
//! Not known here: messages beyond the words of a row.
//! Source of the constants: the usual trade formulas, listed with their exact values in the tests' table; which are looked at is
//! common practice, no source.

use rust_decimal::Decimal;

use super::term::{Constant, Count, Marks, ONE, Term};
use crate::fault::Span;
use crate::quantity::Base;

/// A row of the table.
pub(super) struct Row {
    /// From … to, so that rounded forms are met too: 9.549, 9.55.
    low: (i64, u32),
    high: (i64, u32),
    /// All of these take part.
    all: &'static [Marks],
    /// And one of these, where there are any.
    any: &'static [Marks],
    /// And this holds of the product.
    also: fn(&Term, &Constant) -> bool,
    /// Whether the same number is sometimes meant: twice a synchronous speed.
    pub(super) may_be_meant: bool,
    /// `contains …`
    pub(super) contains: &'static str,
    /// The plain formula.
    pub(super) plainly: &'static str,
    /// How the text is mended, where one change of it gives that.
    mend: Mend,
}

/// What becomes of a constant in the text.
#[derive(Clone, Copy)]
enum Mend {
    /// What to write depends on more than the number.
    No,
    /// It goes, with its operator.
    LeaveOut,
    /// The same, where no other number stands beside it: `120 * f / (2 * p)` is another formula.
    LeaveOutAlone,
    /// The divisor behind it gets its unit: `60 * f / 2` is `f / (2 pole pair)`.
    Divisor(&'static str),
    /// The letter stands for it.
    Write(&'static str),
    /// `pi * n / 30` is `2 * pi * n`.
    HalfTurns,
}

/// What most rows leave open.
const ROW: Row = Row {
    low: (0, 0),
    high: (0, 0),
    all: &[],
    any: &[],
    also: |_, _| true,
    may_be_meant: false,
    contains: "",
    plainly: "",
    mend: Mend::No,
};

/// A constant of n = 1000·v/(π·D).
const TURNING: Row = Row {
    also: is_turning,
    plainly: "`v / (pi*D) in r/min`",
    mend: Mend::LeaveOut,
    ..ROW
};

/// A thousand, above or below the line.
const SIZED: Row = Row {
    also: is_sized,
    may_be_meant: true,
    contains: "stands between W and kW, m and mm or g and kg",
    plainly: "the formula without it, and the unit that is wanted behind it, such as `in kW`",
    mend: Mend::LeaveOut,
    ..ROW
};

/// Below the line of the energy of a turning mass.
const TURNED: Row = Row {
    all: &[Marks::INERTIA, Marks::SPEED],
    also: |_, constant| constant.divides,
    plainly: "`0.5 * J * n^2`, with n in r/min",
    mend: Mend::Write("2"),
    ..ROW
};

/// Metric horsepower.
const METRIC: Row = Row {
    also: |term, _| has_power(term),
    plainly: "the power with its unit and convert: `20 PS in kW`",
    mend: Mend::LeaveOut,
    ..ROW
};

/// A factor between two units of one quantity, which is converted by its unit.
const BETWEEN: Row = Row {
    may_be_meant: true,
    plainly: "the quantity without it, and the unit that is wanted behind it, such as `T in lbf·ft`",
    mend: Mend::LeaveOut,
    ..ROW
};

const TORQUE_OR_POWER: &[Marks] = &[Marks::TORQUE, Marks::POWER];
const TORQUE_POWER_OR_INERTIA: &[Marks] = &[Marks::TORQUE, Marks::POWER, Marks::INERTIA];

const TABLE: &[Row] = &[
    Row {
        low: (120, 0),
        high: (120, 0),
        all: &[Marks::FREQUENCY],
        also: is_speed,
        contains: "is 60 s/min and two poles to a pair",
        plainly: "`f / p` with f in Hz and p in pole, `in r/min`",
        mend: Mend::LeaveOutAlone,
        ..ROW
    },
    Row {
        low: (120, 0),
        high: (120, 0),
        all: &[Marks::FREQUENCY],
        // 120 windings in a transformer are no conversion: 120 belongs to frequency and poles alone.
        also: |term, _| !term.marks.has(Marks::MORE_THAN_TIME),
        contains: "is 60 s/min and two poles to a pair",
        plainly: "`f / p in r/min`, and give p its unit, such as `p = 4 pole`",
        mend: Mend::Divisor("pole"),
        ..ROW
    },
    Row {
        low: (9500, 3),
        high: (9554, 3),
        all: &[Marks::SPEED],
        any: TORQUE_POWER_OR_INERTIA,
        contains: "is 60/(2·π), for watts and r/min",
        plainly: "`P / n` for a torque, `T * n` for a power",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (9500, 0),
        high: (9554, 0),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 60 000/(2·π), for kW, N·m and r/min",
        plainly: "`P / n` for a torque, `T * n` for a power",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (5250, 0),
        high: (52522, 1),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 33 000/(2·π), for hp, lb-ft and r/min",
        plainly: "`P / n` for a torque, `T * n` for a power",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (63000, 0),
        high: (63030, 0),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 12 · 33 000/(2·π), for hp, lb-in and r/min",
        plainly: "`P / n in lbf·in`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (1_000_000, 0),
        high: (1_008_500, 0),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 192 · 33 000/(2·π), for hp, oz-in and r/min",
        plainly: "`P / n in ozf·in`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (97370, 2),
        high: (97500, 2),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 60 000/(2·π·9.80665), for kW, kgf·m and r/min",
        plainly: "`P / n in kgf·m`",
        ..ROW
    },
    Row {
        low: (716, 0),
        high: (71625, 2),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 75 · 60/(2·π), for PS, kgf·m and r/min",
        plainly: "`P / n in kgf·m`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (704, 2),
        high: (7044, 3),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 60/(2·π·1.3558), for W, lb-ft and r/min",
        plainly: "`P / n in lbf·ft`",
        ..ROW
    },
    Row {
        low: (308, 0),
        high: (3083, 1),
        all: &[Marks::INERTIA, Marks::SPEED],
        contains: "is 60·g/(2·π) in feet, for lb·ft², lb-ft and r/min",
        plainly: "`J * Δn / T`, with J in lb·ft² or kg·m²",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (375, 0),
        high: (375, 0),
        all: &[Marks::INERTIA, Marks::SPEED],
        contains: "is 4 · 60·g/(2·π), for GD² in kgf·m², kgf·m and r/min",
        plainly: "`J * Δn / T`, with J = `GD2 in kg·m²`",
        ..ROW
    },
    Row {
        low: (745, 0),
        high: (746, 0),
        also: |term, _| has_power(term),
        contains: "is the watts of one horsepower",
        plainly: "the power with its unit and convert: `20 hp in kW`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (745, 3),
        high: (746, 3),
        also: |term, _| has_power(term),
        contains: "is the kilowatts of one horsepower",
        plainly: "the power with its unit and convert: `20 hp in kW`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (134, 2),
        high: (1342, 3),
        also: |term, _| has_power(term),
        contains: "is the horsepowers of one kilowatt",
        plainly: "the power with its unit and convert: `15 kW in hp`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (1356, 3),
        high: (1363, 3),
        also: |term, _| has_power(term),
        may_be_meant: true,
        contains: "is the metric horsepowers of one kilowatt",
        plainly: "the power with its unit and convert: `15 kW in PS`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (735, 0),
        high: (736, 0),
        contains: "is the watts of one metric horsepower",
        ..METRIC
    },
    Row {
        low: (735, 3),
        high: (736, 3),
        contains: "is the kilowatts of one metric horsepower",
        ..METRIC
    },
    Row {
        low: (550, 0),
        high: (550, 0),
        also: |term, _| is_power(term),
        may_be_meant: true,
        contains: "is the ft·lbf/s of one horsepower",
        plainly: "the formula without it, `in hp`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (6114, 0),
        high: (6120, 0),
        also: |term, constant| constant.divides && is_power(term),
        contains: "is 60 · 1000/9.81, for kgf, m/min and kW",
        plainly: "`F * v in kW`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (7040, 0),
        high: (7045, 0),
        all: &[Marks::SPEED],
        any: TORQUE_OR_POWER,
        contains: "is 60 000/(2·π·1.3558), for kW, lb-ft and r/min",
        plainly: "`P / n` for a torque, `T * n` for a power",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (3950, 0),
        high: (3960, 0),
        all: &[Marks::FLOW, Marks::HEAD],
        contains: "is 33 000/8.34, for gpm, feet of water and hp",
        plainly: "`rho * g_n * Q * H / eta`",
        ..ROW
    },
    Row {
        low: (1713, 0),
        high: (17144, 1),
        all: &[Marks::FLOW, Marks::HEAD],
        contains: "is for gpm, psi and hp",
        plainly: "`p * Q / eta`",
        ..ROW
    },
    Row {
        low: (6343, 0),
        high: (6370, 0),
        all: &[Marks::FLOW, Marks::HEAD],
        contains: "is for cfm, inches of water and hp",
        plainly: "`p * Q / eta`",
        ..ROW
    },
    Row {
        low: (367, 0),
        high: (3672, 1),
        all: &[Marks::FLOW, Marks::HEAD],
        contains: "is 3600/9.81, for m³/h, m of water and kW",
        plainly: "`rho * g_n * Q * H / eta`",
        ..ROW
    },
    Row {
        low: (33000, 0),
        high: (33000, 0),
        any: &[Marks::SPEED, Marks::POWER, Marks::MASS],
        contains: "is the ft·lbf/min of one horsepower",
        plainly: "the power or force with its unit and convert: `F * v in hp`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::SPEED],
        also: |term, constant| undoes_pi(term, constant) && term.count(Count::Pi) == 0,
        contains: "turns r/min into 1/s",
        plainly: "`2*pi*n` or just `n`, with n in r/min",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::SPEED],
        also: undoes_pi,
        contains: "turns r/min into 1/s",
        plainly: "`pi*D*n`, with n in r/min",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::FREQUENCY],
        also: is_speed,
        contains: "turns 1/s into r/min",
        plainly: "`f / p` with f in Hz and p in pole or pole pair, `in r/min`",
        mend: Mend::LeaveOutAlone,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::FREQUENCY],
        also: is_plain_rate,
        may_be_meant: true,
        contains: "turns 1/s into r/min",
        plainly: "`f / p in r/min`, and give p its unit, such as `p = 2 pole pair` or `p = 4 pole`",
        mend: Mend::Divisor("pole pair"),
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::SPEED],
        also: is_frequency_divided,
        contains: "turns r/min into 1/s",
        plainly: "`n * p in Hz`, with n in r/min and p in pole or pole pair",
        mend: Mend::LeaveOutAlone,
        ..ROW
    },
    Row {
        low: (120, 0),
        high: (120, 0),
        all: &[Marks::SPEED],
        also: is_frequency_divided,
        contains: "is 60 s/min and two poles to a pair",
        plainly: "`n * p in Hz`, with n in r/min and p in pole",
        mend: Mend::LeaveOutAlone,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        contains: "turns 1/s into r/min",
        ..TURNING
    },
    Row {
        low: (1000, 0),
        high: (1000, 0),
        contains: "turns m into mm",
        ..TURNING
    },
    Row {
        low: (12, 0),
        high: (12, 0),
        contains: "turns ft into in",
        ..TURNING
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        all: &[Marks::SPEED],
        also: |term, constant| constant.divides && term.tag(Base::Turn) == ONE || is_rotation(term),
        may_be_meant: true,
        contains: "turns r/min into 1/s",
        plainly: "the formula without it; a ratio of a gear gets a line and a name of its own",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (628, 2),
        high: (62832, 4),
        all: &[Marks::SPEED],
        also: |term, constant| is_turn(term, constant) || is_angle_divided(term, constant),
        contains: "is 2·π, one turn in radians",
        plainly: "`2*pi`, which is known as the turn of the speed; a ratio of a gear gets a line and a name of its own",
        mend: Mend::Write("2*pi"),
        ..ROW
    },
    Row {
        low: (628, 2),
        high: (62832, 4),
        all: &[Marks::FREQUENCY],
        contains: "is 2·π, one cycle in radians",
        plainly: "`2*pi`, which is known as the cycle of the frequency",
        mend: Mend::Write("2*pi"),
        ..ROW
    },
    Row {
        low: (314, 2),
        high: (3142, 3),
        all: &[Marks::SPEED],
        also: is_turn,
        contains: "is π, half a turn in radians",
        plainly: "`pi`, which is known beside the turn of the speed; a ratio of a gear gets a line and a name of its own",
        mend: Mend::Write("pi"),
        ..ROW
    },
    Row {
        low: (314, 2),
        high: (3142, 3),
        all: &[Marks::FREQUENCY],
        contains: "is π, half a cycle in radians",
        plainly: "`pi`, which is known beside the cycle of the frequency",
        mend: Mend::Write("pi"),
        ..ROW
    },
    Row {
        low: (1047, 4),
        high: (1048, 4),
        all: &[Marks::SPEED],
        also: is_turn,
        contains: "is 2·π/60 and turns r/min into rad/s",
        plainly: "the formula without it, with n in r/min",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (95, 1),
        high: (9554, 3),
        all: &[Marks::SPEED],
        also: |term, constant| is_turn_divided(term, constant) && !term.marks.has(Marks::MORE_THAN_TIME),
        may_be_meant: true,
        contains: "is 60/(2·π) and turns r/min into rad/s",
        plainly: "the formula without it, with n in r/min; a ratio of a gear gets a line and a name of its own",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (60_000, 0),
        high: (60_000, 0),
        all: &[Marks::SPEED],
        also: undoes_pi,
        contains: "is 60 s/min and 1000, as between kW and W or m and mm",
        plainly: "the formula without it, with n in r/min",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (182, 0),
        high: (183, 0),
        contains: "is 2·(60/(2·π))², for kg·m² and r/min",
        ..TURNED
    },
    Row {
        low: (7200, 0),
        high: (7200, 0),
        contains: "is 2 · 60², for kg·m² and r/min",
        ..TURNED
    },
    Row {
        low: (1019, 1),
        high: (102, 0),
        all: &[Marks::FORCE],
        also: |term, constant| constant.divides && is_power(term),
        may_be_meant: true,
        contains: "is 1000/9.81, for kgf, m/s and kW",
        plainly: "`F * v in kW`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (98, 1),
        high: (982, 2),
        all: &[Marks::MASS],
        also: |term, _| term.count(Count::Torque) == 0 && !term.marks.has(Marks::SPEED),
        contains: "is the acceleration of free fall, without its unit",
        plainly: "`g_n`, which has it",
        mend: Mend::Write("g_n"),
        ..ROW
    },
    Row {
        low: (1000, 0),
        high: (1000, 0),
        ..SIZED
    },
    Row {
        low: (100, 0),
        high: (100, 0),
        also: |term, _| is_part(term),
        may_be_meant: true,
        contains: "makes per cent of a part, and parts are shown in per cent by their unit",
        plainly: "the formula without it, `in %`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (100, 0),
        high: (100, 0),
        also: |term, constant| is_sized(term, constant) && has_share(term),
        may_be_meant: true,
        contains: "makes per cent of a share, and a share counts as a part of one here",
        plainly: "the formula without it",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (1, 3),
        high: (1, 3),
        ..SIZED
    },
    Row {
        low: (3600, 0),
        high: (3600, 0),
        also: |term, constant| is_sized(term, constant) || term.tag(Base::Time) != 0 && !is_money(term),
        may_be_meant: true,
        contains: "is the seconds of an hour",
        plainly: "the formula without it, and the unit that is wanted behind it, such as `in m³/s` or `in kWh`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (3_600_000, 0),
        high: (3_600_000, 0),
        also: is_sized,
        may_be_meant: true,
        contains: "is the joules of one kWh",
        plainly: "the formula without it, and the unit that is wanted behind it, such as `in kWh`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (36, 1),
        high: (36, 1),
        also: |term, _| is_way_per_time(term) || is_of_flow(term),
        may_be_meant: true,
        contains: "stands between hours and seconds: km/h and m/s, t/h and kg/s",
        plainly: "the formula without it, and the unit that is wanted behind it, such as `in km/h`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        // Also a slip of 10.5 %.
        low: (105, 3),
        high: (105, 3),
        all: &[Marks::SPEED],
        also: is_turn,
        may_be_meant: true,
        contains: "is 2·π/60 and turns r/min into rad/s",
        plainly: "the formula without it, with n in r/min; a slip is written in per cent",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (4, 0),
        high: (4, 0),
        also: |term, constant| constant.divides && term.count(Count::Flywheel) == ONE,
        contains: "is what leads from GD² to J",
        plainly: "`GD2 in kg·m²`, which divides by four",
        ..ROW
    },
    Row {
        low: (2, 0),
        high: (2, 0),
        all: &[Marks::FREQUENCY, Marks::POLES],
        // 2·f/p gives double the speed where p is in poles; 2·π·f/p is fine.
        also: |term, constant| is_speed(term, constant) && turns(term) == 0,
        may_be_meant: true,
        contains: "is the two poles of a pair, and `pole` counts each pole as half a pair",
        plainly: "`f / p`, or give the number of pole pairs: `p = 2 pole pair`",
        mend: Mend::LeaveOut,
        ..ROW
    },
    Row {
        low: (60, 0),
        high: (60, 0),
        also: is_per_minute,
        contains: "stands between minutes and seconds",
        ..BETWEEN
    },
    Row {
        low: (98, 1),
        high: (981, 2),
        also: is_torque,
        contains: "is the N·m of one kgf·m",
        ..BETWEEN
    },
    Row {
        low: (1355, 3),
        high: (1356, 3),
        also: is_torque,
        contains: "is the N·m of one lbf·ft",
        ..BETWEEN
    },
    Row {
        low: (737, 3),
        high: (738, 3),
        also: is_torque,
        contains: "is the lbf·ft of one N·m",
        ..BETWEEN
    },
    Row {
        low: (885, 2),
        high: (8851, 3),
        also: is_torque,
        contains: "is the lbf·in of one N·m",
        ..BETWEEN
    },
    Row {
        low: (254, 1),
        high: (254, 1),
        also: is_length,
        contains: "is the millimetres of one inch",
        ..BETWEEN
    },
    Row {
        low: (254, 4),
        high: (254, 4),
        also: is_length,
        contains: "is the metres of one inch",
        ..BETWEEN
    },
    Row {
        low: (3048, 4),
        high: (305, 3),
        also: is_length,
        contains: "is the metres of one foot",
        ..BETWEEN
    },
    Row {
        low: (328, 2),
        high: (3281, 3),
        also: is_length,
        contains: "is the feet of one metre",
        ..BETWEEN
    },
    Row {
        low: (2204, 3),
        high: (2205, 3),
        also: is_mass,
        contains: "is the pounds of one kilogram",
        ..BETWEEN
    },
    Row {
        low: (453, 3),
        high: (454, 3),
        also: is_mass,
        contains: "is the kilograms of one pound",
        ..BETWEEN
    },
    Row {
        low: (689, 2),
        high: (6895, 3),
        also: is_pressure,
        contains: "is the kPa of one psi",
        ..BETWEEN
    },
    Row {
        low: (145, 1),
        high: (14504, 3),
        also: is_pressure,
        contains: "is the psi of one bar",
        ..BETWEEN
    },
    Row {
        low: (227, 3),
        high: (2272, 4),
        also: is_flow,
        contains: "is the m³/h of one gpm",
        ..BETWEEN
    },
    Row {
        low: (4402, 3),
        high: (4404, 3),
        also: is_flow,
        contains: "is the gpm of one m³/h",
        ..BETWEEN
    },
    Row {
        low: (16985, 4),
        high: (16995, 4),
        also: is_flow,
        contains: "is the m³/h of one cfm",
        ..BETWEEN
    },
    Row {
        low: (588, 3),
        high: (589, 3),
        also: is_flow,
        contains: "is the cfm of one m³/h",
        ..BETWEEN
    },
    Row {
        low: (2372, 2),
        high: (2374, 2),
        also: is_inertia,
        contains: "is the lb·ft² of one kg·m²",
        ..BETWEEN
    },
    Row {
        low: (421, 4),
        high: (422, 4),
        also: is_inertia,
        contains: "is the kg·m² of one lb·ft²",
        ..BETWEEN
    },
    Row {
        low: (30, 0),
        high: (30, 0),
        all: &[Marks::SPEED],
        also: undoes_pi,
        contains: "is 60/2 and turns r/min into rad/s",
        plainly: "`2*pi*n` or just `n`, with n in r/min",
        mend: Mend::HalfTurns,
        ..ROW
    },
];

impl Row {
    fn holds(&self, value: Decimal) -> bool {
        let bound = |(number, scale): (i64, u32)| Decimal::new(number, scale);
        value >= bound(self.low) && value <= bound(self.high)
    }
}

/// The rows a typed number belongs to. Nothing is allocated for the others.
pub(super) fn candidate(value: Decimal, span: Span) -> Vec<Constant> {
    TABLE
        .iter()
        .enumerate()
        .filter(|(_, row)| row.holds(value))
        .map(|(row, _)| Constant {
            row,
            span,
            divides: false,
        })
        .collect()
}

/// How often a full turn in radians, or π, stands in a product: below the line counts less than nothing.
fn turns(term: &Term) -> i32 {
    term.count(Count::TwoPi) + term.count(Count::LooseTwoPi) + term.count(Count::Pi)
}

/// A speed of belts, rims or chains over a circumference: n = 1000·v/(π·D).
fn is_turning(term: &Term, constant: &Constant) -> bool {
    let rate = (term.tag(Base::Mass), term.tag(Base::Length), term.tag(Base::Time)) == (0, 0, -ONE);
    let way = term.marks.has(Marks::MORE_THAN_TIME);
    rate && way && term.count(Count::Pi) < 0 && term.tag(Base::Cycle) == 0 && !constant.divides
}

/// 2·π·n/60, or the same below the line.
fn undoes_pi(term: &Term, constant: &Constant) -> bool {
    let turns = turns(term);
    turns > 0 && constant.divides || turns < 0 && !constant.divides
}

/// Above the line of a product that is a shaft speed and nothing more.
fn is_speed(term: &Term, constant: &Constant) -> bool {
    term.tag(Base::Turn) == ONE && !constant.divides && !term.marks.has(Marks::MORE_THAN_TIME)
}

/// Above the line of a product that is a frequency and nothing more.
fn is_plain_rate(term: &Term, constant: &Constant) -> bool {
    term.tag(Base::Turn) == 0
        && term.tag(Base::Cycle) == ONE
        && !constant.divides
        && !term.marks.has(Marks::MORE_THAN_TIME)
}

/// n·p/60: below the line of a product that is a frequency and nothing more.
fn is_frequency_divided(term: &Term, constant: &Constant) -> bool {
    let times = term.tag(Base::Turn) == 0 && term.tag(Base::Cycle) == ONE;
    times && constant.divides && !term.marks.has(Marks::MORE_THAN_TIME)
}

/// On the same side of the line as the turns of a speed.
fn is_turn(term: &Term, constant: &Constant) -> bool {
    let turn = term.tag(Base::Turn);
    if constant.divides { turn < 0 } else { turn > 0 }
}

/// Below the line, where the turns of a speed stand above it.
fn is_turn_divided(term: &Term, constant: &Constant) -> bool {
    constant.divides && term.tag(Base::Turn) == ONE
}

/// A product of quantities that a power of ten makes larger or smaller: neither a plain number, a count for each time, nor money.
fn is_sized(term: &Term, _: &Constant) -> bool {
    let sized = [Base::Mass, Base::Length, Base::Current]
        .into_iter()
        .any(|base| term.tag(base) != 0);
    sized && !is_money(term)
}

/// One quantity over another of its sort.
fn is_part(term: &Term) -> bool {
    let of = [Marks::MORE_THAN_TIME, Marks::SPEED, Marks::FREQUENCY];
    term.is_plain() && of.into_iter().any(|mark| term.marks.has(mark))
}

/// Whether an efficiency, a power factor or another plain share stands in it.
fn has_share(term: &Term) -> bool {
    let counts = [Count::Undeclared, Count::Shaft, Count::Input, Count::Hydraulic];
    term.marks.has(Marks::OPEN_ENDS) || counts.into_iter().filter(|count| term.count(*count) != 0).count() > 0
}

fn is_money(term: &Term) -> bool {
    [Base::Dollar, Base::Euro, Base::Pound]
        .into_iter()
        .any(|base| term.tag(base) != 0)
}

/// Mass, length and time of a product, and nothing with ampere.
fn is_made_of(term: &Term, mass: i32, length: i32, time: i32) -> bool {
    [
        (Base::Mass, mass),
        (Base::Length, length),
        (Base::Time, time),
        (Base::Current, 0),
    ]
    .into_iter()
    .all(|(base, exponent)| term.tag(base) == exponent * ONE)
}

fn is_power(term: &Term) -> bool {
    is_made_of(term, 1, 2, -3)
}

/// A power, or something made of one.
fn has_power(term: &Term) -> bool {
    term.marks.has(Marks::POWER) || is_power(term)
}

fn is_torque(term: &Term, _: &Constant) -> bool {
    term.count(Count::Torque) == ONE && is_made_of(term, 1, 2, -2)
}

fn is_length(term: &Term, _: &Constant) -> bool {
    is_made_of(term, 0, 1, 0)
}

fn is_mass(term: &Term, _: &Constant) -> bool {
    is_made_of(term, 1, 0, 0)
}

fn is_pressure(term: &Term, _: &Constant) -> bool {
    is_made_of(term, 1, -1, -2)
}

fn is_flow(term: &Term, _: &Constant) -> bool {
    is_made_of(term, 0, 3, -1)
}

fn is_inertia(term: &Term, _: &Constant) -> bool {
    is_made_of(term, 1, 2, 0)
}

/// A speed of rotation and nothing more.
fn is_rotation(term: &Term) -> bool {
    term.tag(Base::Turn) == ONE && term.tag(Base::Time) == -ONE && !term.marks.has(Marks::MORE_THAN_TIME)
}

/// Metres per minute taken for metres per second, litres per minute for litres per second; a force or a weight with such a speed.
fn is_per_minute(term: &Term, constant: &Constant) -> bool {
    let lifted = is_power(term) && !term.marks.any(Marks::POWER.with(Marks::AMPERE).with(Marks::SPEED));
    is_way_per_time(term) || is_flow(term, constant) || lifted && constant.divides
}

/// A length for each time and nothing else.
fn is_way_per_time(term: &Term) -> bool {
    is_made_of(term, 0, 1, -1)
}

/// What a flow of mass or volume gives: a power, a load on each metre; a gear between speeds or torques may be 3.6 as well.
fn is_of_flow(term: &Term) -> bool {
    let flows = [Marks::FLOW, Marks::MASS_FLOW]
        .into_iter()
        .any(|mark| term.marks.has(mark));
    flows && !term.marks.has(Marks::SPEED) && term.count(Count::Torque) == 0
}

/// ω/2π.
fn is_angle_divided(term: &Term, constant: &Constant) -> bool {
    constant.divides && term.tag(Base::Radian) > 0
}

/// Numbers that stand beside a constant and leave it one: π's factor, pairs and poles.
const BESIDE: f64 = 12.0;

impl Row {
    /// Whether a number that may be meant is: over or under another plain number it is a ratio, of teeth or of frequencies, and in
    /// `1000 * 3 kg` it counts.
    pub(super) fn is_ratio(&self, constant: &Constant, term: &str, said: &str) -> bool {
        if !self.may_be_meant {
            return false;
        }
        let others = || numbers(term).filter(|number| *number != said);
        let is_other = |number: &str| {
            number
                .parse::<f64>()
                .is_ok_and(|number| number > BESIDE && number.fract() == 0.0)
        };
        let counts = || {
            let rest = term.trim().strip_prefix(said)?.trim_start();
            let value = rest.strip_prefix(['*', '·', '×', '⋅'])?.trim_start();
            let worked_on = value.contains(['*', '(', '^']) || value.contains(" /");
            Some(value.starts_with(|first: char| first.is_ascii_digit()) && !worked_on)
        };
        others().any(is_other) || !constant.divides && counts() == Some(true)
    }

    /// A product of two with its sign turned, where a constant was left out of it.
    pub(super) fn turned(&self, (place, write): &(Span, String), term: &Term, text: &str) -> Option<(Span, String)> {
        if !matches!(self.mend, Mend::LeaveOut) {
            return None;
        }
        let (before, after) = (
            text.get(term.span.start as usize..place.start as usize)?,
            text.get(place.end as usize..term.span.end as usize)?,
        );
        let product = format!("{before}{write}{after}");
        let is_sign = |letter: char| TIMES.contains(&letter) || matches!(letter, '/' | '÷');
        let (first, second) = product.split_once(is_sign)?;
        let sign = product.get(first.len()..product.len() - second.len())?;
        let turned = if sign.starts_with(TIMES) { "/" } else { "*" };
        let alone = !product.contains(['(', '[']) && !second.contains(is_sign);
        alone.then(|| (term.span, format!("{first}{turned}{second}")))
    }

    /// The place in the text that is changed, and what is written there.
    pub(super) fn mend(&self, constant: &Constant, term: &Term, text: &str) -> Option<(Span, String)> {
        let at = constant.span;
        let (before, after) = (text.get(..at.start as usize)?, text.get(at.end as usize..)?);
        match self.mend {
            Mend::No => None,
            Mend::LeaveOut => left_out(before, after, at),
            Mend::LeaveOutAlone => {
                let rest = term.span.of(text).replacen(at.of(text), "", 1);
                let alone = numbers(&rest).all(|number| number == "1");
                alone.then(|| left_out(before, after, at)).flatten()
            }
            Mend::Write(letters) => {
                let side = before.trim_end().ends_with(['/', '÷']) || after.trim_start().starts_with('^');
                let brackets = side && letters.len() > 2;
                Some((
                    at,
                    if brackets {
                        format!("({letters})")
                    } else {
                        letters.to_owned()
                    },
                ))
            }
            Mend::Divisor(unit) => {
                let said = term.span.of(text).trim();
                let (above, below) = said.rsplit_once('/')?;
                let above = above.trim().strip_prefix(at.of(text))?.trim_start();
                let above = above.strip_prefix(['*', '·', '×'])?.trim();
                let below = below.trim();
                let count = below.bytes().all(|sign| sign.is_ascii_digit()) && numbers(above).next().is_none();
                count.then(|| (term.span, format!("{above} / ({below} {unit})")))
            }
            Mend::HalfTurns => {
                let said = term.span.of(text).trim();
                let (above, below) = said.rsplit_once('/')?;
                let is_it = below.trim() == at.of(text) && numbers(above).next().is_none();
                let turns = above
                    .trim()
                    .strip_prefix("pi")
                    .or_else(|| above.trim().strip_prefix('π'))?;
                let is_it = is_it && turns.trim_start().starts_with(['*', '·', '×']);
                is_it.then(|| (term.span, format!("2*pi{turns}")))
            }
        }
    }
}

/// Signs of a product.
const TIMES: [char; 4] = ['*', '·', '×', '⋅'];

/// A factor and its operator, and what stands in their place.
fn left_out(before: &str, after: &str, at: Span) -> Option<(Span, String)> {
    let sign = |letter: char| TIMES.contains(&letter) || matches!(letter, '/' | '÷');
    let kept = before.trim_end();
    if let Some(kept) = kept.strip_suffix(sign) {
        return Some((Span::new(kept.trim_end().len(), at.end as usize), String::new()));
    }
    let next = after.trim_start();
    if let Some(rest) = next.strip_prefix(TIMES) {
        let end = at.end as usize + after.len() - rest.trim_start().len();
        return Some((Span::new(at.start as usize, end), String::new()));
    }
    next.starts_with(['/', '÷']).then(|| (at, "1".to_owned()))
}

/// Numbers without a unit in a text. Digits of names are none.
fn numbers(text: &str) -> impl Iterator<Item = &str> {
    let parts = |letter: char| !(letter.is_alphanumeric() || matches!(letter, '_' | '.'));
    let mut words = text.split_inclusive(parts).peekable();
    std::iter::from_fn(move || {
        loop {
            let piece = words.next()?;
            let word = piece.trim_end_matches(parts);
            if !word.starts_with(|first: char| first.is_ascii_digit()) {
                continue;
            }
            // A unit follows behind a blank.
            let unit = piece.ends_with(' ') && words.peek().is_some_and(|next| next.starts_with(char::is_alphabetic));
            if !unit {
                return Some(word);
            }
        }
    })
}

/// The constant of a product that stands beside its kinds: the first that is never meant, else the first that may be. `text`: what
/// places belong to.
pub(super) fn found(term: &Term, text: &str) -> Option<(Constant, &'static Row)> {
    let beside = term.constants.iter().filter_map(|constant| {
        let row = TABLE.get(constant.row)?;
        let all = row.all.iter().all(|mark| term.marks.has(*mark));
        let any = row.any.is_empty() || row.any.iter().any(|mark| term.marks.has(*mark));
        (all && any && (row.also)(term, constant)).then_some((*constant, row))
    });
    let said = |span: Span| span.of(text).trim();
    let is_none =
        |(constant, row): &(Constant, &'static Row)| !row.is_ratio(constant, said(term.span), said(constant.span));
    let found: Vec<_> = beside.filter(is_none).collect();
    let certain = found.iter().find(|(_, row)| !row.may_be_meant);
    certain.or_else(|| found.first()).copied()
}

/// 1.73, 1.732, …
pub(super) fn is_root_three(value: Decimal) -> bool {
    value >= Decimal::new(173, 2) && value <= Decimal::new(17321, 4)
}

/// 4.44, 4.443: √2·π, the transformer equation.
pub(super) fn is_transformer(value: Decimal) -> bool {
    value >= Decimal::new(444, 2) && value <= Decimal::new(4443, 3)
}
