//! Hours of one pond's water for every member, as far as the animals feel it.

use units::{LANES, Lanes, Real};

/// One tile's hours: the water most animals live in, and the coldest column's bottom, °C.
pub type TileHours = Vec<[Lanes; 2]>;

/// One pond's hours, sixteen members to a tile.
#[derive(Debug, Clone, PartialEq)]
pub struct HourTable {
    members: usize,
    hours: usize,
    tiles: Vec<TileHours>,
}

impl HourTable {
    /// From tiles in order of members; each holds the same number of hours.
    pub fn new(members: usize, tiles: Vec<TileHours>) -> HourTable {
        let hours = tiles.first().map_or(0, Vec::len);
        assert!(
            tiles.iter().all(|tile| tile.len() == hours) && tiles.len() * LANES >= members,
            "tiles hold all members"
        );
        HourTable { members, hours, tiles }
    }

    /// Number of members.
    pub fn members(&self) -> usize {
        self.members
    }
    /// Number of hours.
    pub fn hours(&self) -> usize {
        self.hours
    }
    /// Number of tiles.
    pub fn tiles(&self) -> usize {
        self.tiles.len()
    }
    /// Animals' water and coldest column of one tile's hour, °C.
    pub fn at(&self, tile: usize, hour: usize) -> (Lanes, Lanes) {
        let [animals, coldest] = self.tiles[tile][hour];
        (animals, coldest)
    }
    /// One tile's hours.
    pub fn tile(&self, tile: usize) -> &TileHours {
        &self.tiles[tile]
    }
    /// Animals' water of one member's hour, °C.
    pub fn animals_c(&self, member: usize, hour: usize) -> f64 {
        self.tiles[member / LANES][hour][0].lane(member % LANES)
    }
    /// Coldest column's bottom of one member's hour, °C.
    pub fn coldest_c(&self, member: usize, hour: usize) -> f64 {
        self.tiles[member / LANES][hour][1].lane(member % LANES)
    }
}
