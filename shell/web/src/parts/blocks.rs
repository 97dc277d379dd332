//! A table that a narrow phone shows as a block for each row, every cell under its head: nothing lies beyond the edge.

use maud::{Markup, html};

/// The table; `head_at` is the place of the cell that names its row. Empty cells are left out of a block.
pub fn blocks<const N: usize>(heads: &[&str; N], rows: &[[String; N]], head_at: usize) -> Markup {
    html! {
        table.blocks role="table" {
            thead role="rowgroup" { tr role="row" { @for head in heads { th scope="col" role="columnheader" { (head) } } } }
            tbody role="rowgroup" {
                @for cells in rows {
                    tr role="row" {
                        @for (at, (head, cell)) in heads.iter().zip(cells).enumerate() {
                            @if at == head_at { th scope="row" role="rowheader" { (cell) } }
                            @else { td.none[cell.is_empty()] role="cell" data-head=(head) { (cell) } }
                        }
                    }
                }
            }
        }
    }
}
