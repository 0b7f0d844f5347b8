#include "explain.hpp"

#include "letter.hpp"
#include "run.hpp"

#include <algorithm>
#include <vector>

namespace slotwitness::abnf {
namespace {

constexpr std::size_t most_told = 8; ///< a line that a person reads

std::string hexadecimal(unsigned octet) {
    static constexpr std::string_view digits = "0123456789ABCDEF";
    return {digits[octet >> 4U], digits[octet & 0xfU]};
}

/// `"text"`, `%s"Text"` or `%x0D.0A`: as a grammar would write it.
std::string shown(std::string_view octets, bool case_sensitive) {
    const auto is_plain = [](char c) { return c >= ' ' && c <= '~' && c != '"'; };
    std::string text;
    if (std::all_of(octets.begin(), octets.end(), is_plain)) {
        const bool letters = std::any_of(octets.begin(), octets.end(), is_letter);
        text = case_sensitive && letters ? "%s\"" : "\"";
        return text.append(octets).append("\"");
    }
    for (const char c : octets)
        text.append(text.empty() ? "%x" : ".").append(hexadecimal(static_cast<unsigned char>(c)));
    return text;
}

/// Of a class without a name of its own.
std::string shown(const OctetSet& set) {
    std::string text;
    for (unsigned first = 0; first < 256; ++first) {
        if (!set.has(static_cast<unsigned char>(first)))
            continue;
        unsigned last = first;
        while (last < 255 && set.has(static_cast<unsigned char>(last + 1)))
            ++last;
        text.append(text.empty() ? "%x" : " / %x").append(hexadecimal(first));
        if (last != first)
            text.append("-").append(hexadecimal(last));
        first = last;
    }
    return text;
}

/// `"h"` for a class that is one letter in either case.
std::string shown_letter(const OctetSet& set) {
    for (unsigned octet = 'a'; set.size() == 2 && octet <= 'z'; ++octet)
        if (set.has(static_cast<unsigned char>(octet)) &&
            set.has(static_cast<unsigned char>(octet ^ 0x20U)))
            return shown(std::string(1, static_cast<char>(octet)), false);
    return "";
}

class Explainer final : public Listener {
  public:
    Explainer(const Program& program, const Stacks& stacks, std::size_t place)
        : Listener(place), program_(program), stacks_(stacks) {}

    void failed(std::uint32_t pc, std::uint32_t begun, std::uint32_t frame) override {
        const std::string text = wanted(pc, begun, frame);
        if (!text.empty() && std::find(wanted_.begin(), wanted_.end(), text) == wanted_.end())
            wanted_.push_back(text);
    }

    [[nodiscard]] std::string text() const {
        std::string text;
        const std::size_t told = std::min(wanted_.size(), most_told);
        for (std::size_t i = 0; i < told; ++i) {
            const bool is_last = i + 1 == wanted_.size();
            text.append(i == 0 ? "" : is_last ? " or " : ", ").append(wanted_[i]);
        }
        if (told < wanted_.size())
            text.append(" or one of ")
                .append(std::to_string(wanted_.size() - told))
                .append(" others");
        return text;
    }

  private:
    /// Texts speak for themselves; of classes of octets the rule says more, the outermost that
    /// begins here.
    [[nodiscard]] std::string wanted(std::uint32_t pc, std::uint32_t begun,
                                     std::uint32_t frame) const {
        const Instruction& it = program_.code[pc];
        const std::string_view literals{program_.literals};
        switch (it.op) {
        case Op::octet:
            return shown(std::string(1, static_cast<char>(it.x)), true);
        case Op::literal:
            return shown(literals.substr(it.x, it.y), true);
        case Op::caseless:
            return shown(literals.substr(it.x, it.y), false);
        case Op::set:
        case Op::span:
        case Op::span_back:
            return wanted_of_class(pc, begun, frame);
        case Op::end:
            return "the end";
        case Op::choose:
        case Op::jump:
        case Op::call:
        case Op::give_back:
        case Op::loop_begin:
        case Op::loop_next:
        case Op::loop_again:
        case Op::loop_end:
        case Op::capture_begin:
        case Op::capture_end:
        case Op::chosen:
            break;
        }
        return "";
    }

    [[nodiscard]] std::string wanted_of_class(std::uint32_t pc, std::uint32_t begun,
                                              std::uint32_t frame) const {
        const OctetSet& set = program_.sets[program_.code[pc].x];
        if (std::string letter = shown_letter(set); !letter.empty())
            return letter;
        std::uint32_t rule = program_.rule_of[pc];
        if (begun != at) // a repetition that has begun already
            return "more of " + (rule == none ? shown(set) : named(rule));
        for (; frame != none; frame = stacks_.frames[frame].outer) {
            const Frame& around = stacks_.frames[frame];
            if (around.rule == none)
                continue;
            // That the only rule is expected says nothing.
            if (around.at != at || (around.outer == none && !program_.has_several_roots))
                break;
            rule = around.rule;
        }
        return rule == none ? shown(set) : named(rule);
    }

    [[nodiscard]] std::string named(std::uint32_t rule) const {
        return "rule \"" + program_.rule_names[rule] + "\"";
    }

    const Program& program_;
    const Stacks& stacks_;
    std::vector<std::string> wanted_;
};

} // namespace

std::string explain(const Program& program, std::string_view text, std::size_t at, Stacks& stacks,
                    Budget budget) {
    Explainer explainer{program, stacks, at};
    run_for(explainer, program, text, stacks, budget);
    const std::string wanted = explainer.text();
    return wanted.empty() ? "another text" : wanted; // the budget ended too early
}

} // namespace slotwitness::abnf
