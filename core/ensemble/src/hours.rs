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
    /// How deep the drain end is mixed from the surface, m, at each of the first hours, by tile; empty when it was not looked at.
    mixed: Vec<Vec<Lanes>>,
}

impl HourTable {
    /// From tiles in order of members; each holds the same number of hours.
    pub fn new(members: usize, tiles: Vec<TileHours>) -> HourTable {
        let hours = tiles.first().map_or(0, Vec::len);
        assert!(
            tiles.iter().all(|tile| tile.len() == hours) && tiles.len() * LANES >= members,
            "tiles hold all members"
        );
        HourTable { members, hours, tiles, mixed: Vec::new() }
    }

    /// The same with how deep the drain end is mixed at the start of each of the first hours, m.
    #[must_use]
    pub fn with_mixed(mut self, mixed: Vec<Vec<Lanes>>) -> HourTable {
        assert!(mixed.len() == self.tiles.len(), "tiles hold all members");
        self.mixed = mixed;
        self
    }

    /// How deep the drain end is mixed from the surface at the start of an hour, m; `None` for an hour that was not looked at.
    pub fn mixed_m(&self, member: usize, hour: usize) -> Option<f64> {
        self.mixed.get(member / LANES)?.get(hour).map(|lanes| lanes.lane(member % LANES))
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
