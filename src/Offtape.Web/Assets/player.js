// Brings the variants of a sound to the worklet piece by piece, ahead of the place that is heard, so that long files are never decoded whole.

export const pieceFrames = 1 << 14;
const aheadSeconds = 6;
const besideSeconds = 2.5;
const mostAtOnce = 4;

const contexts = new Map();

// One context for each rate, made before it is needed; it begins to run with the first key or click.
export function contextFor(sampleRate) {
    if (!contexts.has(sampleRate)) {
        const context = new AudioContext({ sampleRate, latencyHint: 'interactive' });
        contexts.set(sampleRate, { context, isReady: context.audioWorklet.addModule('/hear-worklet.js') });
    }
    return contexts.get(sampleRate);
}

export class Player {
    // facts: sampleRateHz, channelCount, frameCount; variants: { name, url }; tell: called with what happens.
    constructor(facts, variants, tell) {
        Object.assign(this, { facts, variants, tell });
        this.frame = 0;
        this.chosen = 0;
        this.loop = null;
        this.isPlaying = false;
        this.pieces = variants.map(() => new Map());
        this.gains = variants.map(() => 1);
        this.isReady = this.open();
    }

    async open() {
        try {
            const { context, isReady } = contextFor(this.facts.sampleRateHz);
            this.context = context;
            await isReady;
        } catch {
            this.tell({ tell: 'gone', variant: this.chosen, words: `This browser cannot play sound at ${this.facts.sampleRateHz}\u2009Hz.` });
            return;
        }
        if (this.isOver) return;
        this.node = new AudioWorkletNode(this.context, 'offtape-hear', {
            numberOfInputs: 0,
            outputChannelCount: [Math.max(2, this.facts.channelCount)],
            processorOptions: { variants: this.variants.map(v => v.name), frameCount: this.facts.frameCount, channelCount: this.facts.channelCount },
        });
        this.node.connect(this.context.destination);
        this.node.port.onmessage = ({ data }) => this.heard(data);
        this.post({ do: 'gain', gains: this.gains, isAtOnce: true });
        this.post({ do: 'choose', variant: this.chosen });
        this.post({ do: 'loop', loop: this.loop });
        this.post({ do: 'place', frame: this.frame });
        this.bring();
    }

    // Known before the worklet is there: it is told of then.
    add(variant) {
        this.variants.push(variant);
        this.pieces.push(new Map());
        this.gains.push(1);
        this.post({ do: 'add' });
        this.bring();
    }

    post(message, transfer = []) { this.node?.port.postMessage(message, transfer); }

    close() {
        this.isOver = true;
        this.isPlaying = false;
        this.post({ do: 'end' });
        this.node?.disconnect();
        this.node = null;
        this.pieces.forEach(p => p.clear());
    }

    async play() {
        this.isPlaying = true;
        this.askedAt = performance.now();
        contextFor(this.facts.sampleRateHz).context.resume();
        await this.isReady;
        if (!this.isPlaying || this.isOver) return;
        this.bring();
        this.post({ do: 'play' });
    }

    pause() {
        this.isPlaying = false;
        this.post({ do: 'pause' });
    }

    place(frame) {
        this.frame = Math.max(0, Math.min(this.facts.frameCount - 1, Math.round(frame)));
        this.post({ do: 'place', frame: this.frame });
        this.bring();
    }

    choose(index) {
        this.chosen = index;
        this.post({ do: 'choose', variant: index });
        this.bring();
    }

    setLoop(loop) {
        this.loop = loop && loop.to - loop.from > 256 ? { from: Math.round(loop.from), to: Math.round(loop.to) } : null;
        this.post({ do: 'loop', loop: this.loop });
        this.bring();
    }

    setGains(gains) {
        this.gains = gains;
        this.post({ do: 'gain', gains, isAtOnce: !this.isPlaying });
    }

    heard(data) {
        if (data.tell === 'at') {
            // A message that was under way when the place was changed does not set it back.
            if (this.isPlaying) this.frame = data.frame;
            this.at = { frame: data.frame, time: data.time };
            if (this.isPlaying) this.bring();
        } else if (data.tell === 'heard') {
            this.startMilliseconds = performance.now() - this.askedAt;
        } else if (data.tell === 'ended') {
            this.isPlaying = false;
            this.frame = 0;
        }
        this.tell(data);
    }

    // Pieces that are wanted, the most urgent first.
    wanted() {
        const list = [];
        const rate = this.facts.sampleRateHz;
        const add = (variant, from, to) => {
            const last = Math.min(this.facts.frameCount - 1, to) / pieceFrames;
            for (let i = Math.floor(Math.max(0, from) / pieceFrames); i <= last; i++) list.push([variant, i]);
        };
        const ahead = (variant, seconds) => {
            const end = this.frame + seconds * rate;
            const { loop } = this;
            if (!loop || this.frame >= loop.to) return add(variant, this.frame, end);
            add(variant, this.frame, Math.min(end, loop.to));
            if (end > loop.to) add(variant, loop.from - 0.01 * rate, Math.min(loop.to, loop.from + end - loop.to));
        };
        ahead(this.chosen, 0.4);
        ahead(this.chosen, besideSeconds);
        this.variants.forEach((v, i) => { if (i !== this.chosen && !v.isGone) ahead(i, besideSeconds); });
        ahead(this.chosen, aheadSeconds);
        return list;
    }

    bring() {
        if (!this.node) return;
        const wanted = this.wanted();
        const keep = new Set(wanted.map(([v, i]) => `${v}/${i}`));
        const here = Math.floor(this.frame / pieceFrames);
        this.pieces.forEach((pieces, v) => {
            for (const [index, state] of pieces) {
                if (state !== 'there' || keep.has(`${v}/${index}`) || index === here || index === here - 1) continue;
                pieces.delete(index);
                this.post({ do: 'drop', variant: v, index });
            }
        });
        let loading = this.loading ?? 0;
        for (const [v, i] of wanted) {
            if (loading >= mostAtOnce) break;
            if (this.pieces[v].has(i) || this.variants[v].isGone) continue;
            loading++;
            this.load(v, i);
        }
    }

    async load(variant, index) {
        this.loading = (this.loading ?? 0) + 1;
        this.pieces[variant].set(index, 'coming');
        try {
            const answer = await fetch(`${this.variants[variant].url}from=${index * pieceFrames}&count=${pieceFrames}`);
            if (!answer.ok) throw new Error(await answer.text());
            const frames = new Float32Array(await answer.arrayBuffer());
            const { channelCount } = this.facts;
            const channels = [];
            for (let c = 0; c < channelCount; c++) {
                const channel = new Float32Array(pieceFrames);
                for (let i = 0, j = c; j < frames.length; i++, j += channelCount) channel[i] = frames[j];
                channels.push(channel);
            }
            if (this.isOver || !this.pieces[variant].has(index)) return;
            this.pieces[variant].set(index, 'there');
            this.post({ do: 'piece', variant, index, channels }, channels.map(c => c.buffer));
        } catch (error) {
            this.pieces[variant].delete(index);
            if (this.isOver) return;
            this.variants[variant].isGone = true;
            this.tell({ tell: 'gone', variant, words: error instanceof TypeError ? 'Offtape does not answer.' : error.message.trim() });
        } finally {
            this.loading--;
            if (!this.isOver) this.bring();
        }
    }

    // Where it stands now, between two messages.
    get now() {
        if (!this.isPlaying || !this.at) return this.frame;
        const frame = this.at.frame + (this.context.currentTime - this.at.time) * this.facts.sampleRateHz;
        return this.loop && this.at.frame < this.loop.to && frame >= this.loop.to ? this.loop.from + (frame - this.loop.to) : Math.min(frame, this.facts.frameCount);
    }
}
