//! Dates in UTC, for records; the clock itself is never read here.

/// Seconds of a day.
const DAY_S: i64 = 86_400;

/// Year, month and day of a day counted from 1 January 1970, in the Gregorian calendar.
///
/// The years begin in March, so that the leap day is the last of its year (Hinnant, *chrono-compatible low-level date
/// algorithms*, 2013, `civil_from_days`).
pub fn civil(day: i64) -> (i64, u32, u32) {
    const DAYS_OF_ERA: i64 = 146_097;
    let shifted = day + 719_468;
    let era = shifted.div_euclid(DAYS_OF_ERA);
    let day_of_era = shifted.rem_euclid(DAYS_OF_ERA);
    let year_of_era = (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day_of_month = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    (year, month as u32, day_of_month as u32)
}

/// A moment as ISO 8601 writes it, such as `2024-02-29T23:59:59Z`, from seconds since 1970 began.
pub fn utc(unix_s: i64) -> String {
    let (year, month, day) = civil(unix_s.div_euclid(DAY_S));
    let second = unix_s.rem_euclid(DAY_S);
    let (hour, minute, second) = (second / 3_600, second / 60 % 60, second % 60);
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of Python's `datetime.fromtimestamp(…, timezone.utc)`.
    #[test]
    fn dates_are_those_of_the_calendar() {
        for (unix_s, text) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_399, "2000-02-28T23:59:59Z"),
            (951_868_799, "2000-02-29T23:59:59Z"),
            (951_868_800, "2000-03-01T00:00:00Z"),
            (1_709_251_199, "2024-02-29T23:59:59Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
            (253_402_300_799, "9999-12-31T23:59:59Z"),
        ] {
            assert_eq!(utc(unix_s), text);
        }
    }

    #[test]
    fn every_day_of_four_centuries_follows_the_one_before() {
        let mut last = civil(0);
        for day in 1..=146_097 {
            let next = civil(day);
            let same_month = (next.0, next.1) == (last.0, last.1) && next.2 == last.2 + 1;
            let new_month = next.2 == 1
                && last.2 >= 28
                && (next.0 * 12 + i64::from(next.1)) == (last.0 * 12 + i64::from(last.1)) + 1;
            assert!(same_month || new_month, "{last:?} {next:?}");
            last = next;
        }
        assert_eq!(last, (2370, 1, 1));
    }
}
