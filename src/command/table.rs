//! Columns of text.

/// Rows with every column but the last padded to its widest cell.
pub fn aligned(rows: &[Vec<String>]) -> String {
    let width = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max();
    let mut text = String::new();
    for row in rows {
        for (column, cell) in row.iter().enumerate() {
            text += cell;
            if column + 1 < row.len() {
                let missing = width(column).unwrap_or(0) - cell.chars().count();
                text += &" ".repeat(missing + 2);
            }
        }
        text.push('\n');
    }
    text
}
