-- Which tracks a pass used, and what of a stretch's count was typed; which passes a closed job holds.
ALTER TABLE passes ADD COLUMN sendTracks TEXT;      -- channels of the send that something stands on, 1,2; null: not known
ALTER TABLE passes ADD COLUMN tapeTracks TEXT;      -- tracks of the tape, where they were typed, 3,4; null: those that the send's lie on
ALTER TABLE stretches ADD COLUMN timesTyped INTEGER; -- how often in all, where that was typed; null: counted

-- A count that no counting gives was typed.
UPDATE stretches SET timesTyped = times
WHERE passId IS NULL AND times <> 1 + coalesce((
    SELECT max(o.times) FROM stretches o
    WHERE o.sideId = stretches.sideId AND (o.at < stretches.at OR (o.at = stretches.at AND o.id < stretches.id))
        AND o.speedCmPerSecond * o.startSeconds < stretches.speedCmPerSecond * stretches.endSeconds
        AND o.speedCmPerSecond * o.endSeconds > stretches.speedCmPerSecond * stretches.startSeconds), 0);

CREATE TABLE jobPasses (
    jobId INTEGER NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    passId TEXT NOT NULL,            -- as pass.json has it
    PRIMARY KEY (jobId, passId)
) WITHOUT ROWID;
CREATE INDEX jobPassesByPass ON jobPasses (passId);

-- One spelling for the formats of tracks.
UPDATE machines SET trackFormat = CASE lower(trackFormat)
    WHEN 'cassette' THEN 'cassette-stereo' WHEN 'cassette-four' THEN 'cassette-four-track' WHEN 'full' THEN 'full-track'
    WHEN 'half-din' THEN 'half-track-stereo' WHEN 'half-nab' THEN 'two-track' WHEN 'half-mono' THEN 'half-track-mono'
    WHEN 'quarter' THEN 'quarter-track-stereo' ELSE trackFormat END;

PRAGMA user_version = 2;
