//! How one sample is written.

/// How one sample is written: how many bytes, and what they mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Encoding {
    /// 8 bits, unsigned, 128 is silence.
    U8,
    /// 8 bits, signed.
    S8,
    /// 16 bits, signed.
    S16,
    /// 24 bits in three bytes, signed.
    S24,
    /// 32 bits, signed.
    S32,
    /// 32-bit floating point, 1.0 is full scale.
    F32,
    /// 64-bit floating point, 1.0 is full scale.
    F64,
}

impl Encoding {
    /// Every encoding that a WAV can hold.
    pub const ALL: [Self; 6] = [
        Self::U8,
        Self::S16,
        Self::S24,
        Self::S32,
        Self::F32,
        Self::F64,
    ];

    /// How many bytes one sample takes.
    pub const fn bytes(self) -> u16 {
        match self {
            Self::U8 | Self::S8 => 1,
            Self::S16 => 2,
            Self::S24 => 3,
            Self::S32 | Self::F32 => 4,
            Self::F64 => 8,
        }
    }

    /// How many bits one sample takes.
    pub const fn bits(self) -> u16 {
        self.bytes() * 8
    }

    /// Whether it is floating point.
    pub const fn is_float(self) -> bool {
        matches!(self, Self::F32 | Self::F64)
    }

    /// The integer encoding of so many bytes that a WAV has.
    pub(crate) const fn integer(bytes: u16) -> Option<Self> {
        match bytes {
            1 => Some(Self::U8),
            bytes => Self::signed(bytes.saturating_mul(8)),
        }
    }

    /// The signed encoding of so many bits.
    pub(crate) const fn signed(bits: u16) -> Option<Self> {
        match bits {
            8 => Some(Self::S8),
            16 => Some(Self::S16),
            24 => Some(Self::S24),
            32 => Some(Self::S32),
            _ => None,
        }
    }

    /// The floating-point encoding of so many bits.
    pub(crate) const fn float(bits: u16) -> Option<Self> {
        match bits {
            32 => Some(Self::F32),
            64 => Some(Self::F64),
            _ => None,
        }
    }
}

/// Which byte of a sample comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ByteOrder {
    /// The least significant one, as in a WAV.
    Little,
    /// The most significant one.
    Big,
}

/// An encoding, the order of its bytes, and how many of its bits carry sound.
///
/// A sample with fewer valid bits than its encoding has stands at the top of it, zeros below, so
/// full scale is the same and reading it needs no care.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SampleFormat {
    encoding: Encoding,
    valid_bits: u16,
    order: ByteOrder,
}

impl SampleFormat {
    /// An encoding, least significant byte first, with so many valid bits; none where it has not so many, or there are 0.
    pub const fn new(encoding: Encoding, valid_bits: u16) -> Option<Self> {
        if valid_bits == 0 || valid_bits > encoding.bits() {
            return None;
        }
        Some(Self {
            encoding,
            valid_bits,
            order: ByteOrder::Little,
        })
    }

    /// The same with its bytes in this order.
    #[must_use]
    pub const fn ordered(self, order: ByteOrder) -> Self {
        Self { order, ..self }
    }

    /// Which byte of a sample comes first.
    pub const fn order(self) -> ByteOrder {
        self.order
    }

    /// How a sample is written.
    pub const fn encoding(self) -> Encoding {
        self.encoding
    }

    /// How many of its bits carry sound: 24 for 24 bits in a 32-bit container.
    pub const fn valid_bits(self) -> u16 {
        self.valid_bits
    }
}

impl From<Encoding> for SampleFormat {
    /// All bits valid, least significant byte first.
    fn from(encoding: Encoding) -> Self {
        Self {
            encoding,
            valid_bits: encoding.bits(),
            order: ByteOrder::Little,
        }
    }
}
