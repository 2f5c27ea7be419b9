//! What the three binary group flags say about an address and its user bits.

/// The binary group flags, named by what they say (IEC 60461 table 1, SMPTE ST 12-1 table 1).
///
/// The value of each is BGF2, BGF1, BGF0 as a number of three bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum BinaryGroupFlags {
    /// Nothing is said: free use. IEC 60461 clause 7.4.2, SMPTE ST 12-1 clause 8.4.1.
    #[default]
    Unspecified = 0b000,
    /// The groups are four 8-bit characters (ISO 646 or ISO 2022). IEC 60461 clause 7.4.3,
    /// SMPTE ST 12-1 clause 8.4.2.
    Characters = 0b001,
    /// The address is clock time. IEC 60461 clause 7.4.6, SMPTE ST 12-1 clause 8.4.3.
    ClockTime = 0b010,
    /// Not to be sent. IEC 60461 clause 7.4.7, SMPTE ST 12-1 clause 8.4.4.
    Reserved = 0b011,
    /// The groups are a date and a time zone (SMPTE ST 309). IEC 60461 clause 7.4.4,
    /// SMPTE ST 12-1 clause 8.4.5.
    DateAndZone = 0b100,
    /// The groups are a page and line multiplex (SMPTE ST 262). IEC 60461 clause 7.4.5,
    /// SMPTE ST 12-1 clause 8.4.6.
    PageLine = 0b101,
    /// The address is clock time, the groups a date and a time zone. IEC 60461 clause 7.4.8,
    /// SMPTE ST 12-1 clause 8.4.7.
    ClockTimeDateAndZone = 0b110,
    /// The address is clock time, the groups a page and line multiplex. IEC 60461 clause 7.4.9,
    /// SMPTE ST 12-1 clause 8.4.8.
    ClockTimePageLine = 0b111,
}

/// What the address is taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AddressReference {
    /// Nothing is said.
    Unspecified,
    /// An external precision clock.
    ClockTime,
    /// The standard keeps it for later.
    Reserved,
}

/// What the eight groups hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GroupContent {
    /// Nothing is said: free use.
    Unspecified,
    /// Four 8-bit characters.
    Characters,
    /// A date and a time zone (SMPTE ST 309).
    DateAndZone,
    /// A page and line multiplex (SMPTE ST 262).
    PageLine,
    /// The standard keeps it for later.
    Reserved,
}

impl BinaryGroupFlags {
    /// Every combination, by value.
    pub const ALL: [Self; 8] = [
        Self::Unspecified,
        Self::Characters,
        Self::ClockTime,
        Self::Reserved,
        Self::DateAndZone,
        Self::PageLine,
        Self::ClockTimeDateAndZone,
        Self::ClockTimePageLine,
    ];

    /// From the three flags in the order of the standards' table: BGF2, BGF1, BGF0.
    pub const fn from_flags([bgf2, bgf1, bgf0]: [bool; 3]) -> Self {
        Self::ALL[(bgf2 as usize) << 2 | (bgf1 as usize) << 1 | bgf0 as usize]
    }

    /// The three flags in the order of the standards' table: BGF2, BGF1, BGF0.
    pub const fn flags(self) -> [bool; 3] {
        [self.bgf2(), self.bgf1(), self.bgf0()]
    }

    /// BGF2, BGF1, BGF0 as a number of three bits.
    pub const fn bits(self) -> u8 {
        self as u8
    }

    /// Flag 0.
    pub const fn bgf0(self) -> bool {
        self.bits() & 0b001 != 0
    }

    /// Flag 1: the address is clock time (or all is reserved).
    pub const fn bgf1(self) -> bool {
        self.bits() & 0b010 != 0
    }

    /// Flag 2.
    pub const fn bgf2(self) -> bool {
        self.bits() & 0b100 != 0
    }

    /// What the address is taken from.
    pub const fn address(self) -> AddressReference {
        match self {
            Self::Unspecified | Self::Characters | Self::DateAndZone | Self::PageLine => {
                AddressReference::Unspecified
            }
            Self::ClockTime | Self::ClockTimeDateAndZone | Self::ClockTimePageLine => {
                AddressReference::ClockTime
            }
            Self::Reserved => AddressReference::Reserved,
        }
    }

    /// What the eight groups hold.
    pub const fn groups(self) -> GroupContent {
        match self {
            Self::Unspecified | Self::ClockTime => GroupContent::Unspecified,
            Self::Characters => GroupContent::Characters,
            Self::Reserved => GroupContent::Reserved,
            Self::DateAndZone | Self::ClockTimeDateAndZone => GroupContent::DateAndZone,
            Self::PageLine | Self::ClockTimePageLine => GroupContent::PageLine,
        }
    }
}
