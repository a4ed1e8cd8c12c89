// The desk at which a sound is looked at and listened to: joins the waveform, the player and the buttons that the page has drawn, and the keys.

import { Peaks, WaveView, clock } from './wave.js';
import { Player, contextFor } from './player.js';

const desks = new Set();
let latest = null;
const lettersAreKeys = () => { try { return localStorage.getItem('offtape-letters') !== 'off'; } catch { return true; } };
// Differences, which are made on the way and have no file.
const isMade = name => name === 'added' || name === 'aside';
const stillMoves = matchMedia('(prefers-reduced-motion: reduce)');

class HearDesk extends HTMLElement {
    static observedAttributes = ['data-spec', 'data-retiming', 'data-blind'];

    connectedCallback() {
        desks.add(this);
        this.addEventListener('click', this);
        this.addEventListener('change', this);
        this.addEventListener('pointerenter', this);
        this.addEventListener('focusin', this);
        this.begin();
    }

    disconnectedCallback() {
        desks.delete(this);
        if (latest === this) latest = null;
        for (const kind of ['click', 'change', 'pointerenter', 'focusin']) this.removeEventListener(kind, this);
        this.end();
    }

    attributeChangedCallback(name, before, now) {
        if (!this.isConnected || before === now) return;
        if (name === 'data-spec') { this.end(); this.begin(); }
        else if (name === 'data-retiming') {
            // What the page says may be older than the last click.
            if (this.ahead && now !== this.ahead) return;
            const isNews = this.ahead !== now;
            this.ahead = null;
            if (isNews) this.retime();
        }
        else this.blind();
    }

    part(name) { return this.querySelector(`[data-part="${name}"]`); }

    get retiming() { return this.ahead ?? this.dataset.retiming ?? ''; }

    async begin() {
        // The page puts the element in its place first, and its parts into it then.
        await null;
        const text = this.dataset.spec;
        if (!text || !this.isConnected || this.spec) return;
        const spec = this.spec = JSON.parse(text);
        this.facts = null;
        this.hears = this.hears ?? spec.hears[0];
        this.isMatched = this.part('match')?.checked ?? true;
        this.place = 0;
        this.view = new WaveView(this.part('wave'), {
            layers: this.layersOf(spec),
            marks: spec.marks.map(m => ({ from: m.at, to: m.at + m.seconds, words: m.words })),
            spans: spec.spans,
            map: spec.map,
            label: spec.label,
            seconds: spec.seconds,
        });
        this.view.onPlace = seconds => this.moveTo(seconds);
        this.view.onSelect = range => { this.range = range; this.setLoop(true); this.say(); };
        this.say();
        const spent = spec;
        try {
            for (;;) {
                const answer = await fetch(spec.hear);
                if (!answer.ok) throw new Error(await answer.text());
                const facts = await answer.json();
                if (this.spec !== spent) return;
                const isFirst = !this.facts;
                this.facts = facts;
                if (isFirst) this.open(); else this.grow();
                this.say();
                if (facts.isMeasured) return;
                await new Promise(next => setTimeout(next, 150));
                if (this.spec !== spent) return;
            }
        } catch (error) {
            if (this.spec === spent) this.trouble(error instanceof TypeError ? 'Offtape does not answer.' : error.message.trim());
        }
    }

    end() {
        cancelAnimationFrame(this.beat);
        this.player?.close();
        this.view?.close();
        this.player = this.view = this.spec = this.facts = null;
        this.range = null;
        this.isLooped = false;
    }

    layersOf(spec) {
        return spec.layers.filter(l => !l.retiming || l.retiming === this.retiming).map(l => ({ name: l.name, url: l.url, ink: l.ink, isLine: l.isLine, variant: l.variant }));
    }

    // All variants stand ready in one player; a retiming is one of them, so that it is switched like any other.
    open() {
        const { facts, spec } = this;
        const blind = this.dataset.blind;
        const before = this.player?.now;
        const wasPlaying = this.player?.isPlaying;
        this.player?.close();
        const there = blind ? ['a', 'b', 'x'] : facts.variants.filter(v => v.isThere).map(v => v.name);
        if (there.length === 0) return;
        const url = name => blind ? `${blind}/${name}?` : `${spec.hear}/${name}?state=${facts.state}&`;
        this.player = new Player(facts, there.map(name => ({ name, url: url(name) })), data => this.told(data));
        if (blind && !there.includes(this.hears)) this.hears = 'x';
        this.level();
        this.pick();
        if (before) this.player.place(before);
        this.setLoop(this.isLooped);
        if (wasPlaying && !blind) this.play();
    }

    // What could be told only after a while comes to what is heard already.
    grow() {
        if (this.player && !this.dataset.blind)
            for (const { name, isThere } of this.facts.variants)
                if (isThere && !this.player.variants.some(v => v.name === name)) this.player.add({ name, url: `${this.spec.hear}/${name}?state=${this.facts.state}&` });
        this.level();
        this.pick();
    }

    level() {
        if (!this.player) return;
        const gains = new Map(this.facts.variants.map(v => [v.name, v.gainDb]));
        const extra = Number(this.part('raise')?.value ?? 0);
        const linear = name => {
            // In a blind comparison the server has made both equally loud.
            if (this.dataset.blind) return 1;
            const db = (this.isMatched ? gains.get(name) ?? 0 : 0) + (isMade(name) ? extra : 0);
            return 10 ** (db / 20);
        };
        this.player.setGains(this.player.variants.map(v => linear(v.name)));
        for (const layer of this.view?.layers ?? []) layer.scale = this.isMatched && this.facts.isMeasured ? 10 ** ((gains.get(layer.variant) ?? 0) / 20) : 1;
        this.view?.wake();
    }

    variantOf(hears) { return hears === 'take' ? this.retiming : hears; }

    pick() {
        const at = this.player?.variants.findIndex(v => v.name === this.variantOf(this.hears)) ?? -1;
        if (at >= 0) this.player.choose(at);
        const radio = this.querySelector(`input[data-hear="${this.hears}"]`);
        if (radio && !radio.checked) radio.checked = true;
        for (const layer of this.view?.layers ?? []) layer.isHeard = layer.variant === this.variantOf(this.hears);
        this.say();
    }

    retime() {
        if (!this.spec || !this.view) return;
        this.pick();
        const old = this.view.layers;
        const next = this.layersOf(this.spec);
        this.view.layers = next.map(l => old.find(o => o.url === l.url) ?? { ...l, scale: 1, peaks: new Peaks(l.url, () => this.view?.wake()) });
        for (const layer of old) if (!this.view.layers.includes(layer)) layer.peaks.close();
        if (this.facts) this.level();
    }

    async blind() {
        // The buttons of the new state come after the attribute.
        await null;
        if (!this.facts || !this.isConnected) return;
        const isBlind = Boolean(this.dataset.blind);
        if (!isBlind && ['a', 'b', 'x'].includes(this.hears)) this.hears = this.spec.hears[0];
        if (isBlind) this.hears = 'x';
        const at = this.player?.now ?? 0;
        this.player?.pause();
        this.player?.close();
        this.player = null;
        this.open();
        this.player?.place(this.isLooped && this.range ? this.range.from * this.facts.sampleRateHz : at);
        this.say();
    }

    told(data) {
        if (data.tell === 'gone') {
            const { name } = this.player.variants[data.variant];
            if (name === this.variantOf(this.hears)) { this.player.pause(); this.trouble(data.words); }
        }
        if (data.tell === 'waiting') this.isWaiting = true;
        if (data.tell === 'heard') { this.isWaiting = false; this.dataset.startMilliseconds = this.player.startMilliseconds.toFixed(1); }
        if (data.tell === 'ended') { this.place = 0; this.view?.setPlace(0, false); }
        if (data.tell !== 'at') this.say();
    }

    trouble(words) {
        const said = this.part('said');
        if (said) said.textContent = words;
        this.isTroubled = true;
    }

    play() {
        if (!this.player) return;
        for (const other of desks) if (other !== this) other.pause();
        latest = this;
        const { range } = this;
        const rate = this.facts.sampleRateHz;
        if (this.isLooped && range && (this.place < range.from || this.place >= range.to)) this.player.place(range.from * rate);
        this.player.play();
        this.run();
        this.say();
    }

    pause() {
        if (!this.player?.isPlaying) return;
        this.player.pause();
        this.place = this.player.now / this.facts.sampleRateHz;
        this.say();
    }

    toggle() { if (this.player?.isPlaying) this.pause(); else this.play(); }

    run() {
        cancelAnimationFrame(this.beat);
        const step = () => {
            if (!this.player || !this.view) return;
            if (!this.player.isPlaying) { this.say(); return; }
            this.place = this.player.now / this.facts.sampleRateHz;
            // Who wants no movement sees the line where it is, and the page is not turned under it.
            this.view.setPlace(this.place, !stillMoves.matches);
            this.sayPlace();
            this.beat = requestAnimationFrame(step);
        };
        this.beat = requestAnimationFrame(step);
    }

    moveTo(seconds) {
        latest = this;
        this.place = Math.max(0, Math.min(this.view.seconds, seconds));
        if (this.facts) this.player?.place(this.place * this.facts.sampleRateHz);
        this.view.setPlace(this.place, false);
        this.sayPlace();
        this.dispatchEvent(new CustomEvent('hear-place', { bubbles: true, detail: this.place }));
    }

    move(by) {
        this.moveTo(this.place + by);
        const x = this.view.xOf(this.place);
        if (x < 0 || x > this.view.width) this.view.look(this.place - 0.5 * this.view.width * this.view.perPixel, this.view.perPixel);
    }

    setLoop(isLooped) {
        this.isLooped = isLooped && Boolean(this.range);
        const rate = this.facts?.sampleRateHz ?? 0;
        this.player?.setLoop(this.isLooped ? { from: this.range.from * rate, to: this.range.to * rate } : null);
        this.view?.select(this.range ?? null);
        this.say();
    }

    // With no stretch dragged, what is in the window is the stretch.
    toggleLoop() {
        if (this.isLooped) { this.range = null; this.setLoop(false); return; }
        const { view } = this;
        this.range = { from: view.from, to: Math.min(view.seconds, view.from + view.width * view.perPixel) };
        this.setLoop(true);
    }

    setEdge(edge) {
        const range = { from: this.range?.from ?? 0, to: this.range?.to ?? this.view.seconds };
        range[edge] = this.place;
        if (range.to - range.from < 0.01) return;
        this.range = range;
        this.setLoop(true);
    }

    say() {
        const button = this.part('play');
        if (button) {
            const words = this.player?.isPlaying ? 'Pause' : 'Play';
            if (button.textContent !== words) button.textContent = words;
            const isMissing = !this.player;
            if (button.disabled !== isMissing) button.disabled = isMissing;
        }
        const loop = this.part('loop');
        if (loop) {
            loop.setAttribute('aria-pressed', this.isLooped ? 'true' : 'false');
            loop.textContent = this.isLooped ? `Looped ${clock(this.range.from, 2)} to ${clock(this.range.to, 2)}` : 'Loop';
        }
        const level = this.part('levels');
        if (level && this.facts && !this.dataset.blind) {
            const gains = this.facts.variants.filter(v => v.isThere && v.gainDb !== null && !isMade(v.name));
            level.textContent = !this.facts.isMeasured ? 'Loudness is being measured.'
                : !this.isMatched ? 'As loud as the files are.'
                    : `Equally loud by ITU-R BS.1770: ${gains.map(v => `${v.name} ${v.gainDb < -0.005 ? '\u2212' : '+'}${Math.abs(v.gainDb).toFixed(1)}\u2009dB`).join(', ')}.`;
        } else if (level && this.dataset.blind) level.textContent = 'Equally loud by ITU-R BS.1770.';
        const added = this.part('added-words');
        if (added && this.facts) added.textContent = this.hears === 'added' ? this.facts.added : this.hears === 'aside' ? this.facts.aside : '';
        for (const radio of this.querySelectorAll('input[data-hear]')) {
            const name = this.variantOf(radio.dataset.hear);
            const isMissing = Boolean(this.player) && !this.player.variants.some(v => v.name === name && !v.isGone);
            if (radio.disabled !== isMissing) radio.disabled = isMissing;
        }
        this.sayPlace();
    }

    sayPlace() {
        const at = this.part('place');
        const words = clock(this.place ?? 0, 2);
        if (at && at.textContent !== words) at.textContent = words;
    }

    handleEvent(event) {
        // Made early, so that the first click is heard at once.
        if ((event.type === 'pointerenter' || event.type === 'focusin') && this.facts) contextFor(this.facts.sampleRateHz);
        if (event.type === 'focusin' || event.type === 'click') latest = this;
        const { target } = event;
        if (event.type === 'click') {
            const act = target.closest?.('[data-do]')?.dataset.do;
            if (act) this.act(act);
        } else if (event.type === 'change') {
            if (target.dataset.hear) { this.hears = target.dataset.hear; this.pick(); }
            if (target.dataset.part === 'match') { this.isMatched = target.checked; this.level(); this.say(); }
            if (target.dataset.part === 'raise') this.level();
        }
    }

    act(act) {
        const { view } = this;
        if (!view) return;
        switch (act) {
            case 'play': this.toggle(); break;
            case 'loop': this.toggleLoop(); break;
            case 'closer': view.zoom(0.5); break;
            case 'wider': view.zoom(2); break;
            case 'whole': view.whole(); break;
            case 'earlier': view.pan(-view.width / 3); break;
            case 'later': view.pan(view.width / 3); break;
            case 'take-place': {
                const field = this.part('place-field');
                field.value = clock(this.place, 4).replace(/\s/g, '');
                field.dispatchEvent(new Event('change', { bubbles: true }));
                break;
            }
            case 'taller': view.tall = Math.min(4096, view.tall * 2); view.wake(); break;
            case 'flatter': view.tall = Math.max(1, view.tall / 2); view.wake(); break;
        }
    }

    key(event) {
        const { view } = this;
        if (!view) return false;
        const step = view.width * view.perPixel / 20;
        switch (event.key) {
            case ' ': this.toggle(); return true;
            case 'ArrowLeft': this.move(event.shiftKey ? -1 / (this.facts?.sampleRateHz ?? 48000) : -step); return true;
            case 'ArrowRight': this.move(event.shiftKey ? 1 / (this.facts?.sampleRateHz ?? 48000) : step); return true;
            case 'Home': this.moveTo(0); return true;
            case 'End': this.moveTo(view.seconds); return true;
            case 'PageUp': if (document.activeElement !== view.box) return false; this.act('earlier'); return true;
            case 'PageDown': if (document.activeElement !== view.box) return false; this.act('later'); return true;
        }
        if (!lettersAreKeys()) return false;
        switch (event.key) {
            case '+': case '=': this.act('closer'); return true;
            case '-': this.act('wider'); return true;
            case '0': this.act('whole'); return true;
            case '[': this.setEdge('from'); return true;
            case ']': this.setEdge('to'); return true;
            case 'l': this.toggleLoop(); return true;
            case 'm': this.part('match')?.click(); return true;
            case 's': case 't': case 'd': case 'f': case 'x': case 'a': case 'b': {
                const radio = this.querySelector(`input[data-hear-key="${event.key}"]:not(:disabled)`);
                if (!radio) return false;
                radio.click();
                return true;
            }
        }
        return false;
    }
}

customElements.define('hear-desk', HearDesk);

// A retiming is heard at once, before the page has answered.
document.addEventListener('change', event => {
    if (event.target.name !== 'retiming') return;
    for (const desk of desks) {
        if (desk.dataset.retiming === undefined || desk.retiming === event.target.value) continue;
        desk.ahead = event.target.value;
        desk.retime();
    }
}, true);

// Before the page's own keys, so that a letter that is taken here means nothing else.
document.addEventListener('keydown', event => {
    if (event.ctrlKey || event.metaKey || event.altKey || document.querySelector('dialog[open]') || desks.size === 0) return;
    const target = event.target instanceof Element ? event.target : document.body;
    if (target.closest('input:not([type="radio"]):not([type="checkbox"]), select, textarea, [contenteditable]')) return;
    // These keys belong to what has the focus first.
    if (event.key === ' ' && target.closest('button, a, summary, input')) return;
    if (/^Arrow/.test(event.key) && target.closest('input, .explained, nav')) return;
    if (/^(Home|End)$/.test(event.key) && !target.closest('hear-desk')) return;
    const desk = target.closest('hear-desk') ?? latest ?? [...desks][0];
    if (desk.key(event)) { event.preventDefault(); event.stopPropagation(); }
}, true);

export { desks };
