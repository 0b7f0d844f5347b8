#include "generator.hpp"

#include "chance.hpp"
#include "story.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace slotwitness::oracle {
namespace {

class Maker {
  public:
    explicit Maker(std::uint64_t seed) : chance_(seed) {}

    Trace make() {
        trace_.gates.push_back(gate());
        if (chance_.in_a_hundred(25))
            trace_.gates.push_back(gate());
        for (const Gate& made : trace_.gates)
            asked_for_.insert(made.needs.begin(), made.needs.end());
        answering_ = chance_.between(70, 99);
        staying_ = chance_.between(60, 97);
        quick_ = chance_.in_a_hundred(70);
        wants_baselines_ = chance_.in_a_hundred(50);
        add(Happening::run_started);
        opens_at_ = chance_.up_to(6);
        const Time horizon = chance_.between(15, 60);
        while (now_ < horizon && trace_.events.size() < 90)
            go_on();
        for (std::size_t n = opened_; n < trace_.gates.size(); ++n)
            open();
        trace_.until = now_ + chance_.up_to(20);
        return std::move(trace_);
    }

  private:
    Condition condition() {
        const auto leaf = [&](Asking asking) {
            Condition leaf = fact(asking);
            if (asking == planes && chance_.in_a_hundred(15))
                leaf = not_rising(asking);
            else if (chance_.in_a_hundred(asking == modules ? 30 : 10))
                leaf = as_in_baseline(asking);
            return chance_.in_a_hundred(25) ? negation(std::move(leaf)) : leaf;
        };
        const Time kind = chance_.up_to(9);
        if (kind < 5)
            return leaf(planes);
        Condition two = kind < 8 ? conjunction(leaf(planes), leaf(modules))
                                 : disjunction(leaf(planes), leaf(modules));
        if (chance_.in_a_hundred(15))
            two = kind < 8 ? disjunction(std::move(two), leaf(ports))
                           : conjunction(std::move(two), leaf(ports));
        return chance_.in_a_hundred(10) ? negation(std::move(two)) : two;
    }

    static void collect(const Condition& condition, std::set<Asking>& needs) {
        if (condition.parts.empty())
            needs.insert(condition.asking);
        for (const Condition& part : condition.parts)
            collect(part, needs);
    }

    Gate gate() {
        Gate made;
        made.condition = condition();
        std::set<Asking> needs;
        collect(made.condition, needs);
        made.needs.assign(needs.begin(), needs.end());
        made.gap = chance_.between(2, 9);
        made.refresh = chance_.in_a_hundred(50) ? 0 : chance_.between(1, 3);
        made.hold = chance_.in_a_hundred(25) ? 0 : chance_.between(1, 8);
        if (chance_.in_a_hundred(80))
            made.within = made.hold + chance_.between(1, 30);
        made.guard = chance_.in_a_hundred(40) ? chance_.between(1, 15) : 0;
        return made;
    }

    Event& add(Happening what) {
        Event event;
        event.at = now_;
        event.what = what;
        event.round = round_;
        trace_.events.push_back(event);
        return trace_.events.back();
    }

    void open() {
        add(Happening::opened).gate = opened_++;
        opens_at_ = now_ + chance_.up_to(10);
    }

    void run_start() {
        add(Happening::run_started).elapsed_known = !chance_.in_a_hundred(20);
        waiting_.clear();
        told_.clear();
    }

    /// What may happen besides looks, at any instant and in any order.
    void aside() {
        if (opened_ < trace_.gates.size() && now_ >= opens_at_)
            open();
        if (chance_.in_a_hundred(6))
            add(Happening::tick);
        if (opened_ > 0 && chance_.in_a_thousand(4)) {
            const auto gate =
                static_cast<std::size_t>(chance_.up_to(static_cast<Time>(opened_) - 1));
            if (closed_.insert(gate).second)
                add(Happening::closed).gate = gate;
        }
        if (chance_.in_a_thousand(wants_baselines_ ? 40 : 2)) {
            Event& wish = add(Happening::baseline_wanted);
            wish.askings.assign(asked_for_.begin(), asked_for_.end());
            if (chance_.in_a_hundred(20)) // of less than its rounds ask
                wish.askings.resize(1);
        }
        if (chance_.in_a_thousand(5)) {
            if (chance_.in_a_hundred(30))
                now_ += chance_.up_to(8);
            run_start();
        }
    }

    void start_round() {
        now_ += quick_ ? chance_.up_to(2) : chance_.up_to(5);
        aside();
        ++round_;
        std::vector<Asking> askings(asked_for_.begin(), asked_for_.end());
        // Now and then a round for other purposes, without all that the gates need.
        if (chance_.in_a_hundred(3))
            askings = {ports};
        waiting_ = askings;
        asked_ = now_;
        parallel_ = chance_.in_a_hundred(30);
        add(Happening::round_started).askings = std::move(askings);
    }

    void end_query() {
        const auto which = static_cast<std::size_t>(
            parallel_ ? chance_.up_to(static_cast<Time>(waiting_.size()) - 1) : 0);
        const Asking asking = waiting_[which];
        const Time earliest = asked_;
        now_ += chance_.in_a_hundred(4) ? chance_.up_to(12) : chance_.up_to(quick_ ? 1 : 2);
        aside();
        if (waiting_.empty())
            return; // a restart came in between
        waiting_.erase(waiting_.begin() + static_cast<long>(which));
        Event& event = add(chance_.in_a_hundred(static_cast<int>(answering_)) ? Happening::answered
                                                                              : Happening::failed);
        event.asking = asking;
        event.asked = chance_.in_a_hundred(60) ? earliest : chance_.between(earliest, now_);
        if (!parallel_)
            asked_ = now_;
        if (event.what == Happening::answered)
            tell(event);
    }

    /// The device stays in its state for a while, says "unknown" at times, and some answers are
    /// cut.
    void tell(Event& event) {
        Component& component = components_[event.asking];
        if (!chance_.in_a_hundred(static_cast<int>(staying_))) {
            component.down = !component.down;
            component.flaps += 1;
        } else if (chance_.in_a_hundred(2)) {
            component.flaps += 2; // there and back between two looks
        }
        event.fact = chance_.in_a_hundred(5) ? Truth::unknown
                     : component.down        ? Truth::yes
                                             : Truth::no;
        event.whole = !chance_.in_a_hundred(6);
        if (chance_.in_a_hundred(8))
            component.identity += 1;
        if (chance_.in_a_hundred(15))
            component.errors = chance_.in_a_hundred(15) ? 0 : component.errors + 1;
        if (chance_.in_a_hundred(92))
            event.identity = component.identity;
        if (event.asking == planes && chance_.in_a_hundred(92))
            event.count = component.errors;
        // Flap counts only where the gate rests on one component: which of several moved is another
        // question.
        if (tells_flaps() && event.asking == planes && event.whole && event.fact != Truth::unknown)
            event.flaps = component.flaps;
    }

    bool tells_flaps() {
        if (told_.empty())
            told_.push_back(asked_for_.size() == 1 && chance_.in_a_hundred(40));
        return told_.front();
    }

    void go_on() {
        if (waiting_.empty())
            start_round();
        else
            end_query();
        aside();
    }

    struct Component {
        bool down = false;
        int flaps = 0;
        int identity = 0;
        int errors = 0;
    };

    Chance chance_;
    Trace trace_;
    std::set<Asking> asked_for_;
    std::vector<Asking> waiting_;
    std::set<std::size_t> closed_;
    std::vector<bool> told_;
    Component components_[3];
    Time now_ = 0;
    Time asked_ = 0;
    Time opens_at_ = 0;
    Time answering_ = 0;
    Time staying_ = 0;
    std::size_t opened_ = 0;
    int round_ = 0;
    bool quick_ = false;
    bool parallel_ = false;
    bool wants_baselines_ = false;
};

} // namespace

Trace random_trace(std::uint64_t seed) {
    return Maker(seed).make();
}

bool well_formed(const Trace& trace) {
    std::vector<Asking> waiting;
    std::set<std::size_t> opened;
    int round = 0;
    if (trace.events.empty() || trace.events.front().what != Happening::run_started)
        return false;
    for (const Event& event : trace.events) {
        switch (event.what) {
        case Happening::run_started:
            waiting.clear();
            break;
        case Happening::round_started:
            if (!waiting.empty())
                return false;
            waiting = event.askings;
            round = event.round;
            break;
        case Happening::answered:
        case Happening::failed: {
            const auto found = std::ranges::find(waiting, event.asking);
            if (found == waiting.end() || event.round != round)
                return false;
            waiting.erase(found);
            break;
        }
        case Happening::opened:
            opened.insert(event.gate);
            break;
        case Happening::closed:
            if (!opened.contains(event.gate))
                return false;
            break;
        case Happening::baseline_wanted:
        case Happening::tick:
            break;
        }
    }
    return true;
}

std::string to_text(const Trace& trace) {
    std::string text;
    for (std::size_t n = 0; n < trace.gates.size(); ++n)
        text += "gate " + std::to_string(n) + ": " + to_text(trace.gates[n]) + "\n";
    for (const Event& event : trace.events)
        text += to_text(event) + "\n";
    return text;
}

} // namespace slotwitness::oracle
