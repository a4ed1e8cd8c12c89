// Plays several variants of one sound from one counter of frames: whichever is heard, all stand at the same frame. Pieces come from the page;
// switching, starting, stopping and the seam of a loop are short ramps between samples of the same place.

const shift = 14;
const pieceFrames = 1 << shift;
const switchSeconds = 0.005;
const gainSeconds = 0.15;
const tellEvery = 8;

const silent = share => ({ pieces: new Map(), share, gain: 1, goal: 1 });

class Hear extends AudioWorkletProcessor {
    constructor({ processorOptions: { variants, frameCount, channelCount } }) {
        super();
        this.channelCount = channelCount;
        this.frameCount = frameCount;
        this.variants = variants.map((_, i) => silent(i === 0 ? 1 : 0));
        this.chosen = 0;
        this.frame = 0;
        this.loop = null;
        this.next = null;
        this.isPlaying = false;
        this.level = 0;
        this.isWaiting = false;
        this.hasSaid = false;
        this.count = 0;
        this.port.onmessage = ({ data }) => this.hear(data);
    }

    hear(data) {
        switch (data.do) {
            case 'piece': this.variants[data.variant].pieces.set(data.index, data.channels); break;
            case 'add': this.variants.push(silent(0)); break;
            case 'drop': this.variants[data.variant].pieces.delete(data.index); break;
            case 'choose':
                this.chosen = data.variant;
                // Nothing sounds: there is nothing to fade from.
                if (this.level === 0) this.variants.forEach((v, i) => { v.share = i === data.variant ? 1 : 0; });
                break;
            case 'gain': data.gains.forEach((g, i) => { this.variants[i].goal = g; if (data.isAtOnce) this.variants[i].gain = g; }); break;
            case 'loop': this.loop = data.loop; break;
            case 'place': if (this.level > 0) this.next = data.frame; else this.frame = data.frame; break;
            case 'play': this.isPlaying = true; this.hasSaid = false; break;
            case 'pause': this.isPlaying = false; break;
            case 'ask': this.port.postMessage({ tell: 'asked' }); break;
            case 'end': this.isOver = true; break;
        }
    }

    has(variant, from, count) {
        const last = Math.min(this.frameCount - 1, from + count - 1);
        for (let i = Math.max(0, from) >> shift; i <= last >> shift; i++) if (!variant.pieces.has(i)) return false;
        return true;
    }

    // What the next frames need: about the seam of a loop, what stands before its beginning as well.
    isReady(variant, count) {
        const seam = this.loop && this.frame < this.loop.to && this.frame + count + this.seamFrames >= this.loop.to;
        return this.has(variant, this.frame, count)
            && (!seam || this.has(variant, this.loop.from - this.seamFrames, this.seamFrames + count));
    }

    get seamFrames() { return this.loop ? Math.min(Math.round(0.004 * sampleRate), (this.loop.to - this.loop.from) >> 1) : 0; }

    sample(variant, channel, frame) {
        if (frame < 0 || frame >= this.frameCount) return 0;
        const piece = variant.pieces.get(frame >> shift);
        return piece ? piece[channel][frame & (pieceFrames - 1)] : 0;
    }

    process(_, [out]) {
        if (this.isOver) return false;
        const count = out[0].length;
        const isMoving = this.isPlaying || this.level > 0;
        if (isMoving) {
            const chosen = this.variants[this.chosen];
            const sounding = this.variants.filter(v => v.share > 0);
            const isReady = this.isReady(chosen, count);
            // A variant that is not there yet is not switched to: what sounds goes on until it is.
            if (!isReady && !sounding.every(v => v === chosen || this.isReady(v, count)) || !isReady && sounding.every(v => v === chosen)) {
                if (!this.isWaiting) this.port.postMessage({ tell: 'waiting', frame: this.frame });
                this.isWaiting = true;
                this.level = 0;
            } else {
                this.isWaiting = false;
                this.render(out, count, isReady ? chosen : null);
            }
        }
        if (++this.count % tellEvery === 0) this.port.postMessage({ tell: 'at', frame: this.frame, time: currentTime, isPlaying: this.isPlaying });
        return true;
    }

    render(out, count, chosen) {
        const shareStep = 1 / (switchSeconds * sampleRate);
        const gainStep = 1 / (gainSeconds * sampleRate);
        const seam = this.seamFrames;
        let isHeard = false;
        for (let i = 0; i < count; i++) {
            const isRising = this.isPlaying && this.next === null;
            this.level = isRising ? Math.min(1, this.level + shareStep) : Math.max(0, this.level - shareStep);
            if (this.level === 0) {
                // Faded out here: it goes on at the other place, in the next block.
                if (this.next !== null) [this.frame, this.next] = [this.next, null];
                break;
            }
            const loop = this.loop && this.frame < this.loop.to ? this.loop : null;
            const blend = loop && this.frame >= loop.to - seam ? (this.frame - (loop.to - seam) + 1) / (seam + 1) : 0;
            for (const v of this.variants) {
                if (chosen) v.share = v === chosen ? Math.min(1, v.share + shareStep) : Math.max(0, v.share - shareStep);
                if (v.gain !== v.goal) v.gain += Math.abs(v.goal - v.gain) <= gainStep ? v.goal - v.gain : Math.sign(v.goal - v.gain) * gainStep;
                if (v.share === 0) continue;
                const weight = v.share * v.gain * this.level;
                for (let c = 0; c < out.length; c++) {
                    const channel = Math.min(c, this.channelCount - 1);
                    let value = this.sample(v, channel, this.frame);
                    // Into the end of a loop comes what stands before its beginning: there it goes on without a step.
                    if (blend > 0) value += (this.sample(v, channel, this.frame - loop.to + loop.from) - value) * blend;
                    out[c][i] += weight * value;
                    if (value !== 0) isHeard = true;
                }
            }
            this.frame++;
            if (loop && this.frame === loop.to) this.frame = loop.from;
            if (this.frame >= this.frameCount) {
                this.isPlaying = false;
                this.level = 0;
                this.frame = 0;
                this.port.postMessage({ tell: 'ended' });
                break;
            }
        }
        if (isHeard && !this.hasSaid) {
            this.hasSaid = true;
            this.port.postMessage({ tell: 'heard', time: currentTime });
        }
    }
}

registerProcessor('offtape-hear', Hear);
