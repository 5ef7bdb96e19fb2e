//! Which way things go, and which friction counts.

/// Which way things go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// The effort just moves the load.
    Raising,
    /// The least effort that stops the load from running back.
    Holding,
    /// The load is let down, or driven down.
    Lowering,
}

/// Which friction counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrictionState {
    /// Static friction: about to move.
    Starting,
    /// Kinetic friction: moving.
    Moving,
}

/// Direction and friction, as far as stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct State {
    /// The direction, if stated.
    pub direction: Option<Direction>,
    /// The friction, if stated.
    pub friction: Option<FrictionState>,
}

impl State {
    /// The direction: raising unless stated.
    pub fn direction(self) -> Direction {
        self.direction.unwrap_or(Direction::Raising)
    }

    /// The friction: unless stated, starting when raising and moving otherwise, the harder of the two either way.
    pub fn friction(self) -> FrictionState {
        self.friction.unwrap_or(match self.direction() {
            Direction::Raising => FrictionState::Starting,
            Direction::Holding | Direction::Lowering => FrictionState::Moving,
        })
    }
}

impl Direction {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Direction::Raising => "raising",
            Direction::Holding => "holding",
            Direction::Lowering => "lowering",
        }
    }
}

impl FrictionState {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            FrictionState::Starting => "starting",
            FrictionState::Moving => "moving",
        }
    }
}
