// The daemon's clock as this page can know it. Where it is not sure, it takes the later time: an age is rather too
// great and the time left rather too short.

const noticed = 1000; // less than this is how the two clocks are read and slewed

/// Milliseconds that have passed here, by the monotonic clock; it may stand still while a phone sleeps, so what the
/// wall clock has moved beyond it is added. A wall clock that is set forward ages what is shown; set back it does nothing.
export class LocalClock {
    #readMonotonic;
    #readWall;
    #behind; // of the monotonic clock to the wall clock
    #slept = 0;

    constructor(readMonotonic = () => performance.now(), readWall = () => Date.now()) {
        this.#readMonotonic = readMonotonic;
        this.#readWall = readWall;
        this.#behind = readWall() - readMonotonic();
    }

    now() {
        const monotonic = this.#readMonotonic();
        const behind = this.#readWall() - monotonic;
        if (behind - this.#behind > noticed) {
            this.#slept += behind - this.#behind;
            this.#behind = behind;
        }
        this.#behind = Math.min(this.#behind, behind);
        return monotonic + this.#slept;
    }
}

const dateResolution = 1000; // a Date field tells whole seconds (RFC 9110 §5.6.7)

export class DaemonClock {
    #ahead = null; // at most so much is the daemon's clock ahead of the local one

    /// An answer whose Date field says `date`, asked and received at these local times: the daemon wrote it between.
    learn(date, asked, received) {
        const told = Date.parse(date);
        if (Number.isNaN(told)) return;
        const most = told + dateResolution - asked;
        const least = told - received;
        // What was learnt before is outside of what is possible now: the daemon has begun anew, or slept.
        const fits = this.#ahead !== null && this.#ahead >= least && this.#ahead <= most;
        this.#ahead = fits ? this.#ahead : most;
    }

    /// The latest that it can be there, in milliseconds since 1970; null before the first answer.
    latest(local) {
        return this.#ahead === null ? null : local + this.#ahead;
    }
}
