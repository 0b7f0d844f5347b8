#include "compare.hpp"

#include "driven.hpp"
#include "story.hpp"

#include <algorithm>
#include <cstdlib>
#include <exception>
#include <set>
#include <string_view>
#include <utility>

namespace slotwitness::oracle {
namespace {

/// Both judges of one trace, side by side.
class Comparison {
  public:
    Comparison(const Trace& trace, Ticks ticks)
        : trace_(trace), ticks_(ticks), driven_(trace.gates, sentences(trace)) {
        for (std::size_t n = 0; n < trace.gates.size(); ++n)
            moments_.push_back(judge(trace.gates[n], n, trace.events, trace.until));
    }

    std::optional<std::string> run() {
        for (std::size_t k = 0; k < trace_.events.size(); ++k) {
            const Event& event = trace_.events[k];
            if (k > 0 && !clock_runs(trace_.events[k - 1].at, event.at - 1))
                return found_;
            driven_.step(event);
            if (!agree(event.at))
                return found_;
        }
        if (clock_runs(trace_.events.back().at, trace_.until))
            agree_on_missed_looks();
        return found_;
    }

  private:
    static std::vector<std::string> sentences(const Trace& trace) {
        std::vector<std::string> all;
        for (const Gate& gate : trace.gates)
            all.push_back(sentence_of(gate));
        return all;
    }

    /// The milliseconds after `from` up to `to`.
    bool clock_runs(Time from, Time to) {
        for (Time now = from + 1; now <= to; ++now) {
            if (ticks_ == Ticks::left_out) {
                ++at_;
                continue;
            }
            if (driven_.next_due() && *driven_.next_due() <= now) {
                Event tick;
                tick.at = now;
                driven_.step(tick);
                if (driven_.next_due() && *driven_.next_due() <= now) {
                    found_ = std::string("at ") + std::to_string(now) +
                             ": the same tick is wanted again";
                    return false;
                }
            }
            if (!agree(now))
                return false;
        }
        return true;
    }

    bool agree(Time now) {
        for (std::size_t n = 0; n < trace_.gates.size(); ++n) {
            const Moment& moment = moments_[n].at(at_);
            Said witness = driven_.said(n, now);
            // Where a gate ends at the instant at which its last look grows too old, which comes
            // first is open.
            if (witness.retired && moment.said.retired && moment.said.truth == Truth::unknown) {
                witness.truth = moment.said.truth;
                witness.held = moment.said.held;
            }
            if (witness != moment.said) {
                const auto refused = driven_.refused(n);
                found_ = std::string("at ") + std::to_string(moment.now) + " after " +
                         std::to_string(moment.seen) + " events, gate " + std::to_string(n) +
                         "\n  oracle:  " + to_text(moment.said) +
                         "\n  witness: " + (refused ? "refused: " + *refused : to_text(witness));
                return false;
            }
        }
        ++at_;
        return true;
    }

    /// Rule: a missed look is journalled.
    void agree_on_missed_looks() {
        Event tick;
        tick.at = trace_.until;
        driven_.step(tick);
        for (std::size_t n = 0; n < trace_.gates.size(); ++n) {
            const Said& end = moments_[n].back().said;
            Time last = trace_.until + 1;
            for (const Moment& moment : moments_[n])
                if (moment.said.retired)
                    last = std::min(last, moment.now);
            std::set<int> oracle;
            std::set<int> witness = driven_.missed(n);
            for (const Look& look :
                 looks_of(trace_.gates[n], n, trace_.events, trace_.events.size(), trace_.until)) {
                if (look.missed && look.known < last)
                    oracle.insert(look.round);
                else if (look.missed &&
                         look.known == last) // which of the two ends came first is open
                    witness.erase(look.round);
            }
            if (witness != oracle)
                found_ = std::string("gate ") + std::to_string(n) + ", which ended as " +
                         to_text(end) + "\n  oracle:  missed" + list(oracle) +
                         "\n  witness: missed" + list(witness);
        }
    }

    static std::string list(const std::set<int>& rounds) {
        std::string text;
        for (const int round : rounds)
            text.append(" ").append(std::to_string(round));
        return text;
    }

    const Trace& trace_;
    Ticks ticks_;
    Driven driven_;
    std::vector<std::vector<Moment>> moments_;
    std::size_t at_ = 0;
    std::optional<std::string> found_;
};

} // namespace

std::uint64_t how_many(std::uint64_t watched) {
    if (const char* set = std::getenv("SLOTWITNESS_TRACES"))
        return std::strtoull(set, nullptr, 10);
    const char* set = std::getenv("SLOTWITNESS_LONG");
    const std::uint64_t times = set && std::string_view(set) == "1" ? 10 : 1;
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
    return times * watched;
#else
    static_cast<void>(watched);
    return times * 100'000;
#endif
}

std::optional<std::string> difference(const Trace& trace, Ticks ticks) {
    try {
        return Comparison(trace, ticks).run();
    } catch (const std::exception& defect) {
        return std::string("the witness threw: ") + defect.what();
    }
}

Trace minimised(Trace trace, Ticks ticks) {
    const auto still_differs = [ticks](const Trace& smaller) {
        return well_formed(smaller) && difference(smaller, ticks).has_value();
    };
    const auto without = [](const Trace& whole, auto drop) {
        Trace smaller = whole;
        std::erase_if(smaller.events, drop);
        return smaller;
    };
    for (bool smaller = true; smaller;) {
        smaller = false;
        const auto keep_if_it_differs = [&](Trace candidate) {
            if (candidate.events.size() < trace.events.size() && still_differs(candidate)) {
                trace = std::move(candidate);
                smaller = true;
            }
        };
        // Whole rounds first, then whatever else can go.
        for (int round = trace.events.back().round; round > 0; --round)
            keep_if_it_differs(without(trace, [round](const Event& event) {
                return event.round == round &&
                       (event.what == Happening::round_started ||
                        event.what == Happening::answered || event.what == Happening::failed);
            }));
        for (std::size_t k = trace.events.size(); k-- > 1;) {
            Trace candidate = trace;
            candidate.events.erase(candidate.events.begin() + static_cast<long>(k));
            keep_if_it_differs(std::move(candidate));
        }
    }
    return trace;
}

} // namespace slotwitness::oracle
