#include "reading_peers.hpp"

// pcre2.h reads this before anything else of it.
#define PCRE2_CODE_UNIT_WIDTH 8

#include <algorithm>
#include <cstring>
#include <pcre2.h>
#include <re2/re2.h>
#include <regex>
#include <stdexcept>
#include <utility>

namespace slotwitness::bench {
namespace {

constexpr const char* pattern = "([A-Za-z0-9/-]+) +([a-z]+) +([a-z]+) +([0-9.]+ [A-Za-z/]+) +"
                                "([A-Za-z0-9-]+) *";
constexpr const char* pattern_of_four =
    "([A-Za-z0-9/-]+) +([a-z]+) +([a-z]+) +([0-9.]+ [A-Za-z/]+) +[A-Za-z0-9-]+ *";

std::string_view without_blanks(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

class Re2 : public Peer {
  public:
    Re2() : Re2("RE2", pattern, 5) {}
    [[nodiscard]] std::string name() const override { return name_; }
    bool cut(std::string_view line, CellTexts& cells) override {
        if (!RE2::FullMatchN(re2::StringPiece(line.data(), line.size()), expression_,
                             pointers_.data(), groups_))
            return false;
        for (std::size_t i = 0; i < cells.size(); ++i)
            cells.at(i) = {pieces_.at(i).data(), pieces_.at(i).size()};
        return true;
    }

  protected:
    Re2(std::string name, const char* expression, int groups)
        : name_(std::move(name)), expression_(expression), groups_(groups) {
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            arguments_.at(i) = RE2::Arg(&pieces_.at(i));
            pointers_.at(i) = &arguments_.at(i);
        }
    }

  private:
    std::string name_;
    RE2 expression_;
    int groups_;
    std::array<re2::StringPiece, 5> pieces_;
    std::array<RE2::Arg, 5> arguments_;
    std::array<const RE2::Arg*, 5> pointers_{};
};

/// RE2's fastest matcher with groups takes four of them at most (re2/prog.h, kMaxOnePassCapture):
/// who knows that captures four, and takes the rest of the line for the last cell.
class Re2OfFour : public Re2 {
  public:
    Re2OfFour() : Re2("RE2, 4 groups", pattern_of_four, 4) {}
    bool cut(std::string_view line, CellTexts& cells) override {
        if (!Re2::cut(line, cells))
            return false;
        const auto end_of_fourth =
            static_cast<std::size_t>(cells[3].data() + cells[3].size() - line.data());
        cells[4] = without_blanks(line.substr(end_of_fourth));
        return true;
    }
};

class Pcre2 : public Peer {
  public:
    Pcre2() {
        int error = 0;
        std::size_t at = 0;
        expression_.reset(pcre2_compile(reinterpret_cast<PCRE2_SPTR>(pattern),
                                        PCRE2_ZERO_TERMINATED, PCRE2_ANCHORED | PCRE2_ENDANCHORED,
                                        &error, &at, nullptr));
        if (!expression_ || pcre2_jit_compile(expression_.get(), PCRE2_JIT_COMPLETE) != 0)
            throw std::runtime_error("PCRE2 could not compile the expression with its JIT");
        match_.reset(pcre2_match_data_create_from_pattern(expression_.get(), nullptr));
    }
    [[nodiscard]] std::string name() const override { return "PCRE2 JIT"; }
    bool cut(std::string_view line, CellTexts& cells) override {
        const int count =
            pcre2_jit_match(expression_.get(), reinterpret_cast<PCRE2_SPTR>(line.data()),
                            line.size(), 0, 0, match_.get(), nullptr);
        if (count != static_cast<int>(cells.size()) + 1)
            return false;
        const std::size_t* ends = pcre2_get_ovector_pointer(match_.get());
        for (std::size_t i = 0; i < cells.size(); ++i)
            cells.at(i) = line.substr(ends[2 * i + 2], ends[2 * i + 3] - ends[2 * i + 2]);
        return true;
    }

  private:
    struct Free {
        void operator()(pcre2_code* code) const { pcre2_code_free(code); }
        void operator()(pcre2_match_data* data) const { pcre2_match_data_free(data); }
    };
    std::unique_ptr<pcre2_code, Free> expression_;
    std::unique_ptr<pcre2_match_data, Free> match_;
};

class StdRegex : public Peer {
  public:
    StdRegex() : expression_(pattern, std::regex::ECMAScript | std::regex::optimize) {}
    [[nodiscard]] std::string name() const override { return "std::regex"; }
    bool cut(std::string_view line, CellTexts& cells) override {
        const char* begin = line.data();
        if (!std::regex_match(begin, begin + line.size(), match_, expression_))
            return false;
        for (std::size_t i = 0; i < cells.size(); ++i)
            cells.at(i) = {match_[i + 1].first, static_cast<std::size_t>(match_[i + 1].length())};
        return true;
    }

  private:
    std::regex expression_;
    std::cmatch match_;
};

using State = std::pair<std::string_view, state::Value>;
const std::array<State, 3> drive_words{{{"engaged", state::AdminState::unlocked},
                                        {"released", state::AdminState::locked},
                                        {"easing", state::AdminState::shutting_down}}};
const std::array<State, 3> condition_words{{{"running", state::OperState::enabled},
                                            {"dark", state::OperState::disabled},
                                            {"proving", state::OperState::testing}}};

state::Value value_of(std::string_view word, const std::array<State, 3>& words) {
    for (const auto& [text, value] : words)
        if (text == word)
            return value;
    return state::Unknown{};
}

state::Value rate_of(std::string_view text) {
    const auto quantity = units::parse_quantity(text);
    if (!quantity || quantity->unit != units::Unit::bits_per_second)
        return state::Unknown{};
    return *quantity;
}

state::Row row_of(std::size_t number, std::string_view line, const CellTexts& cells) {
    const auto [name, drive, condition, load, serial] = cells;
    const auto place = [&, number = number](std::string_view cell) {
        return state::Position{number, static_cast<std::size_t>(cell.data() - line.data()) + 1};
    };
    state::Row row{state::Kind::module, std::string{name}, place(name), std::string{line}, {}};
    row.facts.reserve(4);
    const auto add = [&](state::Attribute attribute, state::Value value, std::string_view cell) {
        row.facts.emplace_hint(row.facts.end(), attribute,
                               state::Fact{std::move(value), place(cell)});
    };
    add(state::Attribute::admin, value_of(drive, drive_words), drive);
    add(state::Attribute::oper, value_of(condition, condition_words), condition);
    add(state::Attribute::serial, std::string{serial}, serial);
    add(state::Attribute::load, rate_of(load), load);
    return row;
}

} // namespace

std::vector<std::unique_ptr<Peer>> peers() {
    std::vector<std::unique_ptr<Peer>> all;
    all.push_back(std::make_unique<Re2>());
    all.push_back(std::make_unique<Re2OfFour>());
    all.push_back(std::make_unique<Pcre2>());
    all.push_back(std::make_unique<StdRegex>());
    return all;
}

state::Reading read_by(Peer& peer, std::string_view answer, std::size_t lines_before) {
    state::Reading reading;
    reading.whole = true;
    CellTexts cells;
    for (std::size_t number = 1; !answer.empty(); ++number) {
        const std::string_view line = answer.substr(0, answer.find('\n'));
        answer.remove_prefix(std::min(line.size() + 1, answer.size()));
        if (number <= lines_before)
            continue;
        if (reading.rows.empty()) // room for all, since ours makes it too
            reading.rows.reserve(answer.size() / (line.size() + 1) + 1);
        if (peer.cut(line, cells))
            reading.rows.push_back(row_of(number, line, cells));
        else
            reading.unread.push_back({number, std::string{line}, 1, "a row"});
    }
    return reading;
}

std::size_t count_lines(std::string_view answer) {
    std::size_t count = 0;
    const char* at = answer.data();
    const char* end = at + answer.size();
    while (at < end) {
        const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
        if (found == nullptr)
            break;
        at = static_cast<const char*>(found) + 1;
        ++count;
    }
    return count;
}

} // namespace slotwitness::bench
