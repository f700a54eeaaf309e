//! Tables that fit the width: in one row, or with some columns under the row, or one column to a line.

use app::paragraph;

/// A column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its heading; words that may stand one below the other are parted by a line break.
    head: &'static str,
    /// How it reads under the row where the table is too wide, `#` for the cell; none if it stays in the row.
    aside: Option<&'static str>,
    right: bool,
}

impl Column {
    /// Describes a column of words.
    pub const fn words(head: &'static str) -> Self {
        Column {
            head,
            aside: None,
            right: false,
        }
    }

    /// Describes a column of numbers.
    pub const fn number(head: &'static str) -> Self {
        Column {
            head,
            aside: None,
            right: true,
        }
    }

    /// Lets it go under the row where the table is too wide; `reads` says how, with `#` for the cell.
    pub const fn aside(self, reads: &'static str) -> Self {
        Column {
            aside: Some(reads),
            ..self
        }
    }

    fn flat(&self) -> String {
        self.head.replace('\n', " ")
    }
}

/// A table; the first column names the row.
#[derive(Debug, Clone)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
}

const GAP: usize = 2;

impl Table {
    /// Makes a table. Columns that are empty in every row are left out.
    pub fn new(columns: &[Column], rows: Vec<Vec<String>>) -> Self {
        let used = |index: &usize| {
            rows.iter()
                .any(|row| row.get(*index).is_some_and(|cell| !cell.is_empty()))
        };
        let kept: Vec<usize> = (0..columns.len()).filter(used).collect();
        let cell = |row: &Vec<String>, index: usize| row.get(index).cloned().unwrap_or_default();
        Table {
            columns: kept
                .iter()
                .filter_map(|index| columns.get(*index).copied())
                .collect(),
            rows: rows
                .iter()
                .map(|row| kept.iter().map(|index| cell(row, *index)).collect())
                .collect(),
        }
    }

    /// Sets it in so many columns of text.
    pub fn set(&self, width: usize) -> String {
        let aside = |index: &usize| {
            self.columns
                .get(*index)
                .is_some_and(|column| column.aside.is_some())
        };
        let all: Vec<usize> = (0..self.columns.len()).collect();
        let (under, row): (Vec<usize>, Vec<usize>) = all.iter().partition(|index| aside(index));
        if self.width(&all) <= width {
            self.set_rows(&all, &[], width)
        } else if self.width(&row) <= width {
            self.set_rows(&row, &under, width)
        } else {
            self.stacked(width)
        }
    }

    fn column_width(&self, index: usize) -> usize {
        let head = self
            .columns
            .get(index)
            .into_iter()
            .flat_map(|column| column.head.lines());
        let cells = self
            .rows
            .iter()
            .filter_map(|row| row.get(index))
            .map(String::as_str);
        head.chain(cells)
            .map(|text| text.chars().count())
            .max()
            .unwrap_or(0)
    }

    fn width(&self, of: &[usize]) -> usize {
        of.iter().map(|index| GAP + self.column_width(*index)).sum()
    }

    fn set_rows(&self, row: &[usize], under: &[usize], width: usize) -> String {
        let height = row.iter().map(|index| self.head(*index).len()).max().unwrap_or(0);
        let mut out = String::new();
        for level in 0..height {
            let word = |index: usize| {
                let head = self.head(index);
                (level + head.len())
                    .checked_sub(height)
                    .and_then(|line| head.get(line).copied())
                    .unwrap_or("")
            };
            out.push_str(&self.set_row(row, word));
        }
        for cells in &self.rows {
            out.push_str(&self.set_row(row, |index| cells.get(index).map_or("", String::as_str)));
            let asides: Vec<String> = under
                .iter()
                .filter_map(|index| self.aside(*index, cells))
                .collect();
            if !asides.is_empty() {
                out.push_str(&paragraph(&asides.join("; "), width, "      ", 6));
            }
        }
        out
    }

    fn head(&self, index: usize) -> Vec<&'static str> {
        self.columns
            .get(index)
            .map(|column| column.head.lines().collect())
            .unwrap_or_default()
    }

    fn set_row<'a>(&self, of: &[usize], cell: impl Fn(usize) -> &'a str) -> String {
        let mut line = String::new();
        for index in of {
            let (text, wide) = (cell(*index), self.column_width(*index));
            let blank = " ".repeat(wide.saturating_sub(text.chars().count()));
            let right = self.columns.get(*index).is_some_and(|column| column.right);
            let (before, after) = if right {
                (blank.as_str(), "")
            } else {
                ("", blank.as_str())
            };
            line.push_str(&" ".repeat(GAP));
            line.extend([before, text, after]);
        }
        line.trim_end().to_string() + "\n"
    }

    /// Says a cell so that it can stand without its heading.
    fn aside(&self, index: usize, cells: &[String]) -> Option<String> {
        let cell = cells.get(index).filter(|cell| !cell.is_empty())?;
        let column = self.columns.get(index)?;
        Some(column.aside.map_or_else(
            || format!("{} {cell}", column.flat()),
            |reads| reads.replace('#', cell),
        ))
    }

    fn stacked(&self, width: usize) -> String {
        let mut out = String::new();
        for cells in &self.rows {
            out.push_str(&paragraph(
                cells.first().map_or("", String::as_str),
                width,
                "  ",
                4,
            ));
            for aside in (1..self.columns.len()).filter_map(|index| self.aside(index, cells)) {
                out.push_str(&paragraph(&aside, width, "    ", 6));
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> Table {
        let columns = [
            Column::words("line"),
            Column::number("working\nload"),
            Column::number("use"),
            Column::words("part").aside("# governs"),
        ];
        let row = |cells: [&str; 4]| cells.map(str::to_string).to_vec();
        Table::new(
            &columns,
            vec![
                row(["nw", "399 lb", "25 %", "rope-7x19-galv-3/16"]),
                row(["ne", "1,020 lb", "-", ""]),
            ],
        )
    }

    #[test]
    fn a_table_goes_from_rows_to_asides_to_stacked_as_the_width_shrinks() {
        let wide = "         working\n  line      load   use  part\n  nw      399 lb  25 %  rope-7x19-galv-3/16\n  ne    1,020 lb     -\n";
        let middle = "         working\n  line      load   use\n  nw      399 lb  25 %\n      rope-7x19-galv-3/16 governs\n  ne    1,020 lb     -\n";
        let narrow = "  nw\n    working load\n      399 lb\n    use 25 %\n    rope-7x19-galv-3/16\n      governs\n  ne\n    working load\n      1,020 lb\n    use -\n";
        assert_eq!(table().set(60), wide);
        assert_eq!(table().set(40), middle);
        assert_eq!(table().set(20), narrow);
    }

    #[test]
    fn a_column_without_any_cell_is_left_out() {
        let columns = [Column::words("a"), Column::words("b")];
        assert_eq!(
            Table::new(&columns, vec![vec!["x".into(), String::new()]]).set(80),
            "  a\n  x\n"
        );
    }
}
