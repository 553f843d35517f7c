//! Numbers with their units as a learner types them and an item states them.

use crate::units::{Quantity, Unit, significant, with_unit};

/// A number and the name of its unit, which is empty for a bare number; `None` if the text does not begin with an ordinary
/// number. A decimal comma is read as a point; a comma that parts thousands is refused, as it would be misread.
pub fn split(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| !matches!(c, '0'..='9' | '+' | '-' | '−' | '.' | ',')).unwrap_or(text.len());
    let number = text.get(..end)?.replace('−', "-");
    let parts_thousands = |(_, after): (&str, &str)| after.len() == 3 || after.contains([',', '.']);
    if number.contains(',') && (number.contains('.') || number.split_once(',').is_some_and(parts_thousands)) {
        return None;
    }
    let value: f64 = number.replace(',', ".").parse().ok()?;
    value.is_finite().then(|| (value, text.get(end..).unwrap_or_default().trim()))
}

/// An amount of a quantity, SI, and the unit in which it is written.
///
/// # Errors
/// In words, with the units that are understood.
pub fn read(text: &str, quantity: Quantity, bare: Unit) -> Result<(f64, Unit), String> {
    let example = with_unit(10.0, bare.symbol);
    let (value, name) = split(text).ok_or_else(|| format!("this is not a number; write such as {example}"))?;
    let unit = if name.is_empty() { Some(bare) } else { quantity.unit_named(name) };
    let unit = unit.ok_or_else(|| {
        let known: Vec<&str> = quantity.units().iter().map(|unit| unit.symbol).filter(|s| !s.is_empty()).collect();
        format!("that is not a unit for this; write such as {example}; units: {}", known.join(", "))
    })?;
    Ok((unit.to_si(value), unit))
}

/// How many of `to` a difference of `amount` of `from` is: without the offset that temperatures have.
pub fn difference(amount: f64, from: Unit, to: Unit) -> f64 {
    let si = from.to_si(amount) - from.to_si(0.0);
    si / (to.to_si(1.0) - to.to_si(0.0))
}

/// A number to the nearest multiple of `step`, with its unit; to four figures without a step.
pub fn shown(value: f64, step: Option<f64>, unit: Unit) -> String {
    let Some(step) = step.filter(|step| *step > 0.0 && (value / step).abs() < 1e15) else {
        return format!("{}{}{}", significant(value, 4), gap(unit), unit.symbol);
    };
    let rounded = (value / step).round() * step;
    let decimals = (0..9).find(|places| (step * 10f64.powi(*places)).fract().abs() < 1e-9).unwrap_or(9) as usize;
    // a negative zero is a zero
    format!("{:.decimals$}{}{}", rounded + 0.0, gap(unit), unit.symbol)
}

fn gap(unit: Unit) -> &'static str {
    if matches!(unit.symbol, "" | "°") { "" } else { " " }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::UnitSystem;

    #[test]
    fn numbers_are_read_as_they_are_typed() {
        assert_eq!(split(" 312 cfm"), Some((312.0, "cfm")));
        assert_eq!(split("0,5 s"), Some((0.5, "s")));
        assert_eq!(split("−3"), Some((-3.0, "")));
        assert_eq!(split("1,200 rpm"), None, "it could be 1.2 or 1200");
        assert_eq!(split("1.200,5"), None);
        assert_eq!(split("about 3"), None);
        assert_eq!(split("nan"), None);
        assert_eq!(split(""), None);
    }

    #[test]
    fn any_unit_of_the_quantity_is_read() {
        let cfm = Quantity::VolumeFlow.unit(UnitSystem::Workshop);
        assert_eq!(read("100", Quantity::VolumeFlow, cfm), Ok((cfm.to_si(100.0), cfm)));
        let litres = read("100 L/s", Quantity::VolumeFlow, cfm).expect("a unit of this");
        assert!((litres.0 - 0.1).abs() < 1e-12, "rounding only");
        assert!(read("100 kPa", Quantity::VolumeFlow, cfm).is_err());
    }

    #[test]
    fn differences_of_temperature_leave_the_zero_out() {
        let celsius = Quantity::Temperature.unit(UnitSystem::Si);
        let fahrenheit = Quantity::Temperature.unit(UnitSystem::Workshop);
        assert!((difference(1.0, celsius, fahrenheit) - 1.8).abs() < 1e-9, "rounding only");
    }

    #[test]
    fn a_number_is_shown_to_its_step() {
        let cfm = Quantity::VolumeFlow.unit(UnitSystem::Workshop);
        assert_eq!(shown(312.4, Some(5.0), cfm), "310 cfm");
        assert_eq!(shown(0.123, Some(0.05), cfm), "0.10 cfm");
        assert_eq!(shown(-0.01, Some(0.5), cfm), "0.0 cfm");
        assert_eq!(shown(312.449, None, cfm), "312.4 cfm");
    }
}
