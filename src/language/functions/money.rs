//! Energy and money: cost of running, demand, saving of a replacement, payback, present value.
//!
//! Always: a saving is the difference of two costs, so that it is never more than what the motor costs now.

use super::Function;
use super::entry::{again, formula, of, physics, refuse_efficiency, refuse_hours};
use crate::machine::Stopped;

const ENERGY: &str = "definition";
const REPLACED: &str = "US Department of Energy, Motor Systems Tip Sheets: efficiency and speed of the new motor";
const CAPITAL: &str = "definition; annuity of engineering economics";

/// Seconds in a year of 8760 h.
const YEAR: f64 = 8760.0 * 3600.0;

pub(super) static MONEY: &[Function] = &[
    physics(
        "profile_energy",
        &[again("P_in", "input power"), again("hours", "hours per year")],
        "energy",
        |given| {
            let (mut energy, mut part) = (0.0, 0.0);
            for pair in given.rest(0).chunks_exact(2) {
                if let [power, hours] = pair {
                    energy += power * hours * YEAR;
                    part += hours;
                }
            }
            if part > 1.0 + 1e-9 {
                return Err(Stopped::said(
                    format!("the hours add up to {:.0}, and a year has 8760", part * 8760.0),
                    "look at the hours of each step",
                ));
            }
            Ok(energy)
        },
        "Electrical energy in a year from a load profile: inputs and hours in turn",
        ("profile_energy(12 kW, 2000 h/yr, 8 kW, 3000 h/yr)", "48000 kWh"),
        ENERGY,
    ),
    formula(
        "running_cost",
        &[
            of("P_in", "input power"),
            of("hours", "hours per year"),
            of("price", "energy price"),
        ],
        "annual cost",
        concat!(refuse_hours!("hours"), "otherwise P_in * hours * price"),
        "What an input costs in a year by energy",
        ("running_cost(10 kW, 4000 h/yr, 0.2 $/kWh)", "8000 $/yr"),
        ENERGY,
    ),
    formula(
        "demand_cost",
        &[of("P_max", "input power"), of("price", "demand price")],
        "annual cost",
        "P_max * price * (12 1/yr)",
        "What the highest input costs in a year, where it is charged by the month",
        ("demand_cost(10 kW, 11.5 $/kW)", "1380 $/yr"),
        ENERGY,
    ),
    formula(
        "replacement_saving",
        &[
            of("P_sh", "shaft power"),
            of("eta_1", "motor efficiency"),
            of("n_1", "shaft speed"),
            of("eta_2", "motor efficiency"),
            of("n_2", "shaft speed"),
        ],
        "input power",
        concat!(
            refuse_efficiency!("eta_1"),
            refuse_efficiency!("eta_2"),
            "otherwise P_sh / eta_1 - P_sh * (n_2 / n_1)^3 / eta_2"
        ),
        "Input saved by a motor of another efficiency on a fan or pump, which takes more where the new motor runs faster; the same speed twice where the load does not mind. Below zero it costs more",
        (
            "replacement_saving(40 kW, 91 %, 1470 r/min, 94.5 %, 1482 r/min)",
            "0.5829 kW",
        ),
        REPLACED,
    ),
    formula(
        "replacement_saving_cost",
        &[
            of("P_sh", "shaft power"),
            of("eta_1", "motor efficiency"),
            of("n_1", "shaft speed"),
            of("eta_2", "motor efficiency"),
            of("n_2", "shaft speed"),
            of("hours", "hours per year"),
            of("price", "energy price"),
        ],
        "annual cost",
        concat!(
            refuse_efficiency!("eta_1"),
            refuse_efficiency!("eta_2"),
            "otherwise running_cost(P_sh / eta_1, hours, price) - running_cost(P_sh * (n_2 / n_1)^3 / eta_2, hours, price)"
        ),
        "Money saved in a year by a motor of another efficiency on a fan or pump: cost of the old less cost of the new",
        (
            "replacement_saving_cost(40 kW, 91 %, 1470 r/min, 94.5 %, 1482 r/min, 6000 h/yr, 0.2 $/kWh)",
            "699.5 $/yr",
        ),
        REPLACED,
    ),
    formula(
        "held_saving",
        &[of("saving", "annual cost"), of("cost", "annual cost")],
        "annual cost",
        "smallest(saving, cost)",
        "A saving that somebody promises, held to what the motor costs now: no more can be saved",
        ("held_saving(9000 $/yr, 8000 $/yr)", "8000 $/yr"),
        ENERGY,
    ),
    formula(
        "simple_payback",
        &[of("cost", "cost"), of("saving", "annual cost")],
        "payback time",
        "cost / saving when saving > 0, otherwise refuse(\"nothing is saved, so nothing is paid back\")",
        "Time in which a saving pays for what it costs, without interest",
        ("simple_payback(2400 $, 800 $/yr) in yr", "3 yr"),
        CAPITAL,
    ),
    formula(
        "present_value",
        &[
            of("saving", "annual cost"),
            of("interest", "percentage"),
            of("years", "number"),
        ],
        "cost",
        "refuse(\"the years are below zero\") when years < 0, \
         otherwise saving * (1 yr) * (years when interest = 0, otherwise (1 - (1 + interest)^(0 - years)) / interest)",
        "What a saving at the end of each of some years is worth now, at an interest",
        ("present_value(800 $/yr, 6 %, 10)", "5888 $"),
        CAPITAL,
    ),
    formula(
        "net_present_value",
        &[
            of("cost", "cost"),
            of("saving", "annual cost"),
            of("interest", "percentage"),
            of("years", "number"),
        ],
        "cost",
        "present_value(saving, interest, years) - cost",
        "Present value of a saving less what it costs; below zero it does not pay",
        ("net_present_value(2400 $, 800 $/yr, 6 %, 10)", "3488 $"),
        CAPITAL,
    ),
];
