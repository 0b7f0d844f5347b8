/// A stream of numbers that a seed tells (mulberry32, in the public domain), and choices by it.
export class Random {
    constructor(seed) {
        this.state = seed >>> 0;
    }
    /// In [0, 1).
    next() {
        this.state = (this.state + 0x6d2b79f5) >>> 0;
        let t = this.state;
        t = Math.imul(t ^ (t >>> 15), t | 1);
        t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
        return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    }
    below(n) {
        return Math.floor(this.next() * n);
    }
    of(list) {
        return list[this.below(list.length)];
    }
    bytes(n) {
        return Buffer.from(Array.from({ length: n }, () => this.below(256)));
    }
}
