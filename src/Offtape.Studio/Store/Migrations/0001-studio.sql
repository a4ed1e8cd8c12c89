-- The first studio. docs/studio-folder.md says in words what stands where.
-- Times are UTC as 2026-05-31T12:00:00Z. A path in the studio folder is kept as seen from it, with forward slashes; one outside it whole.
PRAGMA application_id = 1332114544;

CREATE TABLE machines (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE,
    kind TEXT,                       -- cassette-deck, cassette-multitrack, reel, portable
    monitoring TEXT,                 -- off-tape, rewound
    speedsCmPerSecond TEXT,          -- 4.76,9.53
    trackFormat TEXT,
    headDistanceMm REAL,
    mainsHz REAL,
    hoursWhenAdded REAL NOT NULL DEFAULT 0,
    note TEXT NOT NULL DEFAULT '',
    addedAt TEXT NOT NULL,
    retiredAt TEXT
);

CREATE TABLE lineUps (
    id INTEGER PRIMARY KEY,
    machineId INTEGER NOT NULL REFERENCES machines (id),
    at TEXT NOT NULL,
    sendDbfsAtZero REAL,             -- what the interface plays when the machine's meter stands at its zero
    returnDbfsAtZero REAL,           -- what comes back into the interface then
    trimDb REAL,
    speedCmPerSecond REAL,
    tapeType TEXT,
    note TEXT NOT NULL DEFAULT ''
);
CREATE INDEX lineUpsByMachine ON lineUps (machineId, at);

CREATE TABLE hours (
    id INTEGER PRIMARY KEY,
    machineId INTEGER NOT NULL REFERENCES machines (id),
    at TEXT NOT NULL,
    hours REAL NOT NULL,             -- run besides the passes of the log
    note TEXT NOT NULL DEFAULT ''
);
CREATE INDEX hoursByMachine ON hours (machineId, at);

CREATE TABLE upkeep (
    id INTEGER PRIMARY KEY,
    machineId INTEGER NOT NULL REFERENCES machines (id),
    at TEXT NOT NULL,
    task TEXT NOT NULL,
    atHours REAL,                    -- hours run when it was done
    note TEXT NOT NULL DEFAULT ''
);
CREATE INDEX upkeepByMachine ON upkeep (machineId, task, at);

CREATE TABLE files (
    id INTEGER PRIMARY KEY,
    path TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    byteCount INTEGER NOT NULL,
    kind TEXT NOT NULL,              -- source, send, pass-sheet, capture, return-sheet, take, bench, bench-capture
    addedAt TEXT NOT NULL,
    replacedAt TEXT,                 -- since then something else stands under its name
    UNIQUE (path, sha256)
);
CREATE UNIQUE INDEX filesByPath ON files (path) WHERE replacedAt IS NULL;
CREATE INDEX filesBySha256 ON files (sha256);

CREATE TABLE benches (
    id INTEGER PRIMARY KEY,
    machineId INTEGER REFERENCES machines (id),
    machineName TEXT NOT NULL DEFAULT '',
    at TEXT NOT NULL,
    how TEXT NOT NULL,
    sheetId TEXT NOT NULL,
    speedCmPerSecond REAL,
    summary TEXT NOT NULL DEFAULT '',
    fileId INTEGER REFERENCES files (id)
);
CREATE INDEX benchesByMachine ON benches (machineId, at);

CREATE TABLE benchReadings (
    benchId INTEGER NOT NULL REFERENCES benches (id) ON DELETE CASCADE,
    quantity TEXT NOT NULL,
    channel INTEGER,
    condition TEXT NOT NULL DEFAULT '',
    value REAL,
    unit TEXT NOT NULL DEFAULT '',
    uncertainty REAL,                -- expanded, coverage factor 2
    atMost REAL
);
CREATE INDEX benchReadingsByBench ON benchReadings (benchId, quantity);

CREATE TABLE benchCaptures (
    benchId INTEGER NOT NULL REFERENCES benches (id) ON DELETE CASCADE,
    fileId INTEGER NOT NULL REFERENCES files (id),
    PRIMARY KEY (benchId, fileId)
) WITHOUT ROWID;

CREATE TABLE tapes (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE,
    format TEXT,                     -- cassette, quarter-inch
    tapeType TEXT,                   -- what a machine is biased for: I, II, IV, or words
    lengthMetres REAL,
    thicknessMicrometres REAL,
    trackFormat TEXT,
    note TEXT NOT NULL DEFAULT '',
    addedAt TEXT NOT NULL,
    retiredAt TEXT
);

CREATE TABLE sides (
    id INTEGER PRIMARY KEY,
    tapeId INTEGER NOT NULL REFERENCES tapes (id),
    name TEXT NOT NULL COLLATE NOCASE,   -- A, B, or 1
    lengthMetres REAL,
    note TEXT NOT NULL DEFAULT '',
    UNIQUE (tapeId, name)
);

CREATE TABLE counterMarks (
    id INTEGER PRIMARY KEY,
    machineId INTEGER REFERENCES machines (id),
    sideId INTEGER REFERENCES sides (id),
    counter REAL NOT NULL,
    metres REAL NOT NULL,            -- tape run since the counter stood at zero
    at TEXT NOT NULL
);
CREATE INDEX counterMarksByMachine ON counterMarks (machineId, sideId);

CREATE TABLE sources (
    id INTEGER PRIMARY KEY,
    sha256 TEXT NOT NULL UNIQUE,
    lengthSeconds REAL,
    sampleRateHz INTEGER,
    channelCount INTEGER
);

CREATE TABLE sourceNames (
    id INTEGER PRIMARY KEY,
    sourceId INTEGER NOT NULL REFERENCES sources (id),
    name TEXT NOT NULL,
    UNIQUE (sourceId, name)
);
-- Any three letters of a name are enough to find it.
CREATE VIRTUAL TABLE sourceNameText USING fts5 (name, content = 'sourceNames', content_rowid = 'id', tokenize = 'trigram');
CREATE TRIGGER sourceNameAdded AFTER INSERT ON sourceNames BEGIN
    INSERT INTO sourceNameText (rowid, name) VALUES (new.id, new.name);
END;
CREATE TRIGGER sourceNameGone AFTER DELETE ON sourceNames BEGIN
    INSERT INTO sourceNameText (sourceNameText, rowid, name) VALUES ('delete', old.id, old.name);
END;

CREATE TABLE sends (
    id INTEGER PRIMARY KEY,
    passId TEXT NOT NULL UNIQUE,     -- as pass.json has it
    at TEXT NOT NULL,
    sheetFileId INTEGER REFERENCES files (id),
    sendFileId INTEGER REFERENCES files (id),
    sampleRateHz INTEGER NOT NULL,
    channelCount INTEGER NOT NULL,
    layout TEXT NOT NULL,
    lengthSeconds REAL NOT NULL,
    levelDbfs REAL NOT NULL,
    printRatio REAL NOT NULL,
    reversed INTEGER NOT NULL
);

CREATE TABLE sendItems (
    sendId INTEGER NOT NULL REFERENCES sends (id) ON DELETE CASCADE,
    position INTEGER NOT NULL,       -- from 0, in the order of the sheet
    sourceId INTEGER NOT NULL REFERENCES sources (id),
    name TEXT NOT NULL,
    startSeconds REAL NOT NULL,
    lengthSeconds REAL NOT NULL,
    gainDb REAL NOT NULL,
    tracks TEXT NOT NULL,            -- 1,2
    PRIMARY KEY (sendId, position)
) WITHOUT ROWID;
CREATE INDEX sendItemsBySource ON sendItems (sourceId);

-- One run of tape. A send has one from the beginning; it may be run again on another tape or machine.
CREATE TABLE passes (
    id INTEGER PRIMARY KEY,
    sendId INTEGER NOT NULL REFERENCES sends (id) ON DELETE CASCADE,
    run INTEGER NOT NULL DEFAULT 1,
    at TEXT NOT NULL,
    machineId INTEGER REFERENCES machines (id),
    sideId INTEGER REFERENCES sides (id),
    speedCmPerSecond REAL,
    startCounter REAL,
    startSeconds REAL,               -- from the beginning of the side, at that speed
    pitchPercent REAL,
    inputLevel TEXT,
    noiseReduction TEXT,
    tapeType TEXT,
    note TEXT NOT NULL DEFAULT '',
    UNIQUE (sendId, run)
);
CREATE INDEX passesByMachine ON passes (machineId, speedCmPerSecond, at);
CREATE INDEX passesBySide ON passes (sideId, at);
CREATE INDEX passesByTime ON passes (at);
CREATE INDEX passesBySpeed ON passes (speedCmPerSecond, at);

-- What of a side has been used. "times" is how often it had been recorded over when this line was written, this time included.
CREATE TABLE stretches (
    id INTEGER PRIMARY KEY,
    sideId INTEGER NOT NULL REFERENCES sides (id),
    passId INTEGER REFERENCES passes (id) ON DELETE SET NULL,
    at TEXT NOT NULL,
    startSeconds REAL,               -- from the beginning of the side, at the speed
    endSeconds REAL,
    startCounter REAL,
    endCounter REAL,
    speedCmPerSecond REAL,
    tracks TEXT,                     -- of the tape, 1,2; null for all of the side
    reversed INTEGER NOT NULL DEFAULT 0,
    times INTEGER NOT NULL DEFAULT 1,
    note TEXT NOT NULL DEFAULT ''
);
CREATE INDEX stretchesBySide ON stretches (sideId, startSeconds);
CREATE INDEX stretchesByPass ON stretches (passId);

CREATE TABLE captures (
    id INTEGER PRIMARY KEY,
    fileId INTEGER NOT NULL UNIQUE REFERENCES files (id),
    at TEXT NOT NULL,
    sampleRateHz INTEGER NOT NULL,
    channelCount INTEGER NOT NULL,
    lengthSeconds REAL NOT NULL
);

CREATE TABLE returns (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    sheetFileId INTEGER NOT NULL REFERENCES files (id),
    retime TEXT NOT NULL,
    request TEXT,                    -- JSON: all that was asked, so that it can be run again
    exitCode INTEGER NOT NULL DEFAULT 0
);
CREATE INDEX returnsBySheet ON returns (sheetFileId);

CREATE TABLE returnPasses (
    returnId INTEGER NOT NULL REFERENCES returns (id) ON DELETE CASCADE,
    position INTEGER NOT NULL,
    captureId INTEGER NOT NULL REFERENCES captures (id),
    passId INTEGER REFERENCES passes (id) ON DELETE SET NULL,
    number INTEGER NOT NULL,
    captureStartSeconds REAL,
    captureEndSeconds REAL,
    speedRatio REAL,
    reversed INTEGER NOT NULL,
    complete INTEGER NOT NULL,
    PRIMARY KEY (returnId, position)
) WITHOUT ROWID;
CREATE INDEX returnPassesByPass ON returnPasses (passId);
CREATE INDEX returnPassesByCapture ON returnPasses (captureId);

CREATE TABLE takes (
    id INTEGER PRIMARY KEY,
    returnId INTEGER NOT NULL REFERENCES returns (id) ON DELETE CASCADE,
    position INTEGER NOT NULL,       -- from 0, in the order of return.json
    passId INTEGER REFERENCES passes (id) ON DELETE SET NULL,
    captureId INTEGER REFERENCES captures (id),
    sourceId INTEGER REFERENCES sources (id),
    sourceName TEXT NOT NULL,
    found INTEGER NOT NULL,
    complete INTEGER NOT NULL,
    confidence REAL NOT NULL,
    captureStartSeconds REAL,
    speedRatio REAL,
    gainDb REAL,
    noiseFloorDbfs REAL,
    wobblePeakCents REAL,
    UNIQUE (returnId, position)
);
CREATE INDEX takesByPass ON takes (passId);
CREATE INDEX takesBySource ON takes (sourceId);
CREATE INDEX takesByCapture ON takes (captureId);

CREATE TABLE takeFiles (
    takeId INTEGER NOT NULL REFERENCES takes (id) ON DELETE CASCADE,
    retiming TEXT NOT NULL,
    fileId INTEGER NOT NULL REFERENCES files (id),
    PRIMARY KEY (takeId, retiming)
) WITHOUT ROWID;
CREATE INDEX takeFilesByFile ON takeFiles (fileId);

CREATE TABLE jobs (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    folder TEXT NOT NULL,
    closedAt TEXT NOT NULL
);

PRAGMA user_version = 1;
