#include "run.hpp"

#include <algorithm>
#include <cstring>

namespace slotwitness::abnf {
namespace {

unsigned char folded(unsigned char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<unsigned char>(c + ('a' - 'A')) : c;
}

bool same_caseless(const unsigned char* text, const char* literal, std::size_t size) {
    // As it is written, more often than not.
    if (std::memcmp(text, literal, size) == 0)
        return true;
    for (std::size_t i = 0; i < size; ++i)
        if (folded(text[i]) != folded(static_cast<unsigned char>(literal[i])))
            return false;
    return true;
}

/// `listens`: whether there is a listener; two programs, so that the plain one pays nothing for it.
template <bool listens>
class Runner {
  public:
    Runner(const Program& program, std::string_view text, Stacks& stacks, Budget budget,
           Listener* listener)
        : program_(program), text_(reinterpret_cast<const unsigned char*>(text.data())),
          size_(static_cast<std::uint32_t>(text.size())), stacks_(stacks), budget_(budget),
          listener_(listener) {
        stacks_.choices.clear();
        stacks_.frames.clear();
        stacks_.events.clear();
    }

    Ran run() {
        const Outcome outcome = go();
        return {outcome, furthest_, steps_};
    }

  private:
    /// How an instruction ended.
    enum class Did { went_on, failed, matched, too_deep, too_much };

    Outcome go() {
        for (;;) {
            if (++steps_ > budget_.steps)
                return Outcome::out_of_steps;
            const std::uint32_t begun = at_;
            switch (step(program_.code[pc_])) {
            case Did::went_on:
                continue;
            case Did::failed:
                break;
            case Did::matched:
                return Outcome::matched;
            case Did::too_deep:
                return Outcome::out_of_depth;
            case Did::too_much:
                return Outcome::out_of_room;
            }
            furthest_ = std::max(furthest_, at_);
            if constexpr (listens)
                if (at_ == listener_->at)
                    listener_->failed(pc_, begun, frame_);
            if (!come_back())
                return Outcome::not_matched;
        }
    }

    /// On failure `at_` is the octet that did not fit.
    [[gnu::always_inline]] Did step(const Instruction& it) {
        switch (it.op) {
        case Op::octet:
            if (at_ == size_ || text_[at_] != it.x)
                return Did::failed;
            ++at_;
            return next();
        case Op::set:
            if (at_ == size_ || !program_.sets[it.x].has(text_[at_]))
                return Did::failed;
            ++at_;
            return next();
        case Op::literal:
            if (size_ - at_ < it.y ||
                std::memcmp(text_ + at_, program_.literals.data() + it.x, it.y) != 0)
                return Did::failed;
            at_ += it.y;
            return next();
        case Op::caseless:
            if (size_ - at_ < it.y ||
                !same_caseless(text_ + at_, program_.literals.data() + it.x, it.y))
                return Did::failed;
            at_ += it.y;
            return next();
        case Op::span:
        case Op::span_back:
            return span(it);
        case Op::choose:
            return choose(it);
        case Op::jump:
            pc_ = it.z;
            return Did::went_on;
        case Op::call:
            if (!enter({frame_, pc_ + 1, at_, depth() + 1, it.y}))
                return trouble();
            pc_ = it.z;
            return Did::went_on;
        case Op::give_back:
            pc_ = stacks_.frames[frame_].value;
            leave();
            return Did::went_on;
        case Op::loop_begin:
            if (!enter({frame_, 0, at_, depth() + 1, none}))
                return trouble();
            return next();
        case Op::loop_next:
            return loop_next(program_.loops[it.x]);
        case Op::loop_again: {
            const Loop& loop = program_.loops[it.x];
            const Frame& round = stacks_.frames[frame_];
            if (round.value > loop.least && round.at == at_)
                return Did::failed;
            pc_ = loop.next;
            return Did::went_on;
        }
        case Op::loop_end:
            leave();
            return next();
        case Op::capture_begin:
            return note(Event::What::begin, it.x);
        case Op::capture_end:
            return note(Event::What::end, it.x);
        case Op::chosen:
            return note(Event::What::chosen, it.x);
        case Op::end:
            return at_ == size_ ? Did::matched : Did::failed;
        }
        return Did::failed;
    }

    Did next() {
        ++pc_;
        return Did::went_on;
    }

    [[nodiscard]] bool may_come(const OctetSet& set) const {
        return at_ == size_ ? set.end : set.has(text_[at_]);
    }
    [[nodiscard]] bool is_heard() const {
        if constexpr (listens)
            return at_ == listener_->at;
        return false;
    }

    [[gnu::always_inline]] Did span(const Instruction& it) {
        const std::uint32_t begun = at_;
        const std::uint32_t limit = size_ - begun > it.z ? begun + it.z : size_;
        // Of its own, for a member would be stored at each octet.
        const OctetSet set = program_.sets[it.x];
        const unsigned char* const text = text_;
        std::uint32_t at = begun;
        while (at < limit && set.has(text[at]))
            ++at;
        at_ = at;
        steps_ += (at_ - begun) / 32;
        if (at_ - begun < it.y)
            return Did::failed;
        if (it.op == Op::span_back && at_ - begun > it.y &&
            !may_return_to({pc_ + 1, at_, begun + it.y}))
            return Did::too_much;
        return next();
    }

    Did choose(const Instruction& it) {
        const bool fits = may_come(program_.sets[it.x]);
        if (!fits && !is_heard()) {
            furthest_ = std::max(furthest_, at_);
            pc_ = it.z;
            return Did::went_on;
        }
        if ((!fits || is_heard() || may_come(program_.sets[it.look])) &&
            !may_return_to({it.z, at_, none}))
            return Did::too_much;
        return next();
    }

    Did loop_next(const Loop& loop) {
        const Frame round = stacks_.frames[frame_];
        if (round.value >= loop.least) {
            if (round.value >= loop.most) {
                pc_ = loop.end;
                return Did::went_on;
            }
            const bool fits = may_come(program_.sets[loop.body]);
            if (!fits && !is_heard()) {
                furthest_ = std::max(furthest_, at_);
                pc_ = loop.end;
                return Did::went_on;
            }
            if ((!fits || is_heard() || may_come(program_.sets[loop.after])) &&
                !may_return_to({loop.end, at_, none}))
                return Did::too_much;
        }
        leave();
        if (!enter({round.outer, round.value + 1, at_, round.depth, none}))
            return trouble();
        return next();
    }

    [[nodiscard]] std::uint32_t depth() const {
        return frame_ == none ? 0 : stacks_.frames[frame_].depth;
    }

    bool enter(Frame frame) {
        if (frame.depth > budget_.depth || stacks_.frames.size() >= most_marks)
            return false;
        stacks_.frames.push_back(frame);
        frame_ = static_cast<std::uint32_t>(stacks_.frames.size()) - 1;
        return true;
    }
    /// Why nothing could be entered.
    [[nodiscard]] Did trouble() const {
        return stacks_.frames.size() >= most_marks ? Did::too_much : Did::too_deep;
    }
    /// To the frame around. This one goes if no choice comes back to it.
    void leave() {
        const std::uint32_t left = frame_;
        frame_ = stacks_.frames[left].outer;
        if (left + 1 == stacks_.frames.size() &&
            (stacks_.choices.empty() || stacks_.choices.back().frames <= left))
            stacks_.frames.pop_back();
    }

    Did note(Event::What what, std::uint32_t index) {
        if (stacks_.events.size() >= most_marks)
            return Did::too_much;
        stacks_.events.push_back({what, index, at_});
        return next();
    }

    bool may_return_to(Choice choice) {
        if (stacks_.choices.size() >= most_marks)
            return false;
        choice.frame = frame_;
        choice.frames = static_cast<std::uint32_t>(stacks_.frames.size());
        choice.events = static_cast<std::uint32_t>(stacks_.events.size());
        stacks_.choices.push_back(choice);
        return true;
    }

    /// To the newest choice that has something left; false if there is none.
    bool come_back() {
        while (!stacks_.choices.empty()) {
            Choice& choice = stacks_.choices.back();
            const bool is_there = choice.least_at == none || give_octets_back(choice);
            if (is_there) {
                pc_ = choice.pc;
                at_ = choice.at;
                frame_ = choice.frame;
                stacks_.frames.resize(choice.frames);
                stacks_.events.resize(choice.events);
            }
            if (!is_there || choice.least_at == none || choice.at == choice.least_at)
                stacks_.choices.pop_back();
            if (is_there)
                return true;
        }
        return false;
    }

    /// Back to the last octet of the span with which the rest may begin.
    bool give_octets_back(Choice& choice) {
        const OctetSet& look = program_.sets[program_.code[choice.pc - 1].look];
        const std::uint32_t from = choice.at;
        while (choice.at > choice.least_at) {
            --choice.at;
            if (look.has(text_[choice.at])) {
                steps_ += (from - choice.at) / 32;
                return true;
            }
        }
        steps_ += (from - choice.at) / 32;
        return false;
    }

    const Program& program_;
    const unsigned char* text_;
    std::uint32_t size_;
    Stacks& stacks_;
    Budget budget_;
    Listener* listener_;

    // Apart: g++ 12 loads neighbours as one, which stalls on the two stores before it, at each
    // step.
    std::uint32_t pc_ = 0;
    std::uint64_t steps_ = 0;
    std::uint32_t at_ = 0;
    std::uint32_t frame_ = none;
    std::uint32_t furthest_ = 0;
};

} // namespace

Ran run(const Program& program, std::string_view text, Stacks& stacks, Budget budget) {
    return Runner<false>{program, text, stacks, budget, nullptr}.run();
}

void run_for(Listener& listener, const Program& program, std::string_view text, Stacks& stacks,
             Budget budget) {
    (void)Runner<true>{program, text, stacks, budget, &listener}.run();
}

} // namespace slotwitness::abnf
