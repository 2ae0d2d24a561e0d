//! Why the server closes a socket, and what the browser does next.

/// Why the server closes a socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Close {
    /// The server restarts; a `restart` message said when to come back.
    Restarting,
    /// The server cannot read a message: the page is older or newer than the server.
    BadMessage,
    /// The pass is no longer valid, or the seat was taken out.
    NotAllowed,
    /// Nothing was heard from the page for too long.
    Silent,
    /// The browser did not read what was sent to it.
    TooSlow,
    /// A message was longer than any that is allowed.
    TooLong,
    /// The same person has opened so many sockets that the oldest one is closed.
    Replaced,
}

/// What the browser does next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// Connects again, after the usual random wait.
    Reconnect,
    /// Connects again after at least half a minute.
    ReconnectLater,
    /// Loads the page anew.
    Reload,
    /// Goes to the entry page.
    JoinAgain,
}

impl Close {
    /// All reasons.
    pub const ALL: [Self; 7] = [
        Self::Restarting,
        Self::BadMessage,
        Self::NotAllowed,
        Self::Silent,
        Self::TooSlow,
        Self::TooLong,
        Self::Replaced,
    ];

    /// The code in the close frame: 1012 "service restart" and 1009 "message too big" of the IANA registry;
    /// otherwise one of the private range 4000 to 4999 (RFC 6455, 7.4.2).
    #[must_use]
    pub fn code(self) -> u16 {
        match self {
            Self::Restarting => 1012,
            Self::BadMessage => 4002,
            Self::NotAllowed => 4003,
            Self::Silent => 4004,
            Self::TooSlow => 4008,
            Self::TooLong => 1009,
            Self::Replaced => 4009,
        }
    }

    /// What the browser does next.
    #[must_use]
    pub fn then(self) -> Then {
        match self {
            Self::Restarting | Self::Silent | Self::TooSlow => Then::Reconnect,
            Self::Replaced => Then::ReconnectLater,
            Self::BadMessage | Self::TooLong => Then::Reload,
            Self::NotAllowed => Then::JoinAgain,
        }
    }

    /// The reason in the close frame.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::Restarting => "restarting",
            Self::BadMessage => "bad message",
            Self::NotAllowed => "not allowed",
            Self::Silent => "silent",
            Self::TooSlow => "too slow",
            Self::TooLong => "message too long",
            Self::Replaced => "opened elsewhere",
        }
    }
}

impl Then {
    /// Its name in TypeScript.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Reconnect => "reconnect",
            Self::ReconnectLater => "reconnect_later",
            Self::Reload => "reload",
            Self::JoinAgain => "join_again",
        }
    }
}
