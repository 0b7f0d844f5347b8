#include "orders.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <span>
#include <vector>

namespace slotwitness::chassis {
namespace {

struct Unit {
    std::string_view word;
    std::int64_t factor;
};

/// Takes the words of a line one by one; throws as a Misread what it could not read.
class Words {
  public:
    explicit Words(std::string_view line) : line_(line) { skip_blanks(); }

    std::string take(std::string_view expected) {
        if (at_ == line_.size())
            throw Misread{line_.size() + 1, "the end of the line", std::string(expected)};
        last_ = at_;
        at_ = std::min(line_.find_first_of(" \t", at_), line_.size());
        std::string word(line_.substr(last_, at_ - last_));
        skip_blanks();
        return word;
    }

    /// The index of the next word among `words`.
    std::size_t choose(const std::vector<std::string_view>& words) {
        std::string expected;
        for (const auto word : words)
            expected.append(expected.empty() ? "" : ", ").append(word);
        const std::string word = take(expected);
        const auto found = std::find(words.begin(), words.end(), word);
        if (found == words.end())
            reject(word, expected);
        return static_cast<std::size_t>(found - words.begin());
    }

    bool takes(std::string_view word) {
        const std::size_t here = at_;
        if (at_ < line_.size() && take(word) == word)
            return true;
        at_ = here;
        return false;
    }

    /// A whole number and its unit, together ("3s") or apart ("3 s").
    std::int64_t amount(std::int64_t least, std::int64_t most, std::span<const Unit> units,
                        std::string_view expected) {
        std::string word = take(expected);
        std::int64_t value = 0;
        const auto [rest, error] = std::from_chars(word.data(), word.data() + word.size(), value);
        if (error != std::errc{} || value < least || value > most)
            reject(word, expected);
        std::string unit = word.substr(static_cast<std::size_t>(rest - word.data()));
        if (units.empty()) {
            if (!unit.empty())
                reject(word, expected);
            return value;
        }
        if (unit.empty())
            unit = word = take(expected);
        const auto found = std::find_if(units.begin(), units.end(),
                                        [&](const Unit& known) { return known.word == unit; });
        if (found == units.end())
            reject(word, expected);
        return value * found->factor;
    }

    void end() const {
        if (at_ != line_.size())
            throw Misread{at_ + 1, std::string(line_.substr(at_)), "the end of the line"};
    }

    [[noreturn]] void reject(const std::string& word, std::string_view expected) const {
        throw Misread{last_ + 1, word, std::string(expected)};
    }

  private:
    void skip_blanks() { at_ = std::min(line_.find_first_not_of(" \t", at_), line_.size()); }

    std::string_view line_;
    std::size_t at_ = 0;
    std::size_t last_ = 0;
};

constexpr Unit durations[] = {{"ms", 1}, {"s", 1'000}, {"min", 60'000}};
constexpr Unit rates[] = {{"Gb/s", 1}, {"Tb/s", 1'000}};
constexpr Unit temperatures[] = {{"C", 1}};

Part choose_part(Words& words, std::initializer_list<Part> parts) {
    std::vector<std::string_view> names;
    for (const Part part : parts)
        names.push_back(to_word(part));
    return parts.begin()[words.choose(names)];
}

/// A serial or build as it may be printed: letters, digits, `-` and `.`, so that it fits one cell.
std::string take_mark(Words& words, std::string_view expected) {
    std::string mark = words.take(expected);
    const bool fits = mark.size() <= 16 && std::all_of(mark.begin(), mark.end(), [](char byte) {
                          return (byte >= 'A' && byte <= 'Z') || (byte >= 'a' && byte <= 'z') ||
                                 (byte >= '0' && byte <= '9') || byte == '-' || byte == '.';
                      });
    if (!fits)
        words.reject(mark, expected);
    return mark;
}

Order engineer(Words& words) {
    const std::size_t verb = words.choose({"release", "engage", "lead"});
    if (verb == 2) {
        words.choose({"controller"});
        return Lead{words.take("CTL0 or CTL1")};
    }
    const Part part = choose_part(words, {Part::plane, Part::module, Part::port});
    return MoveDrive{verb == 1, part, words.take("the name of a " + std::string(to_word(part)))};
}

Order technician(Words& words) {
    const std::size_t verb = words.choose({"pull", "seat", "cross"});
    if (verb == 2) {
        words.choose({"port"});
        std::string port = words.take("the name of a port");
        return Cross{std::move(port), words.take("the name of another port")};
    }
    const bool seats = verb == 1;
    const Part part = choose_part(words, {Part::tray, Part::module, Part::supply});
    std::string name = words.take("the name of a " + std::string(to_word(part)));
    if (!seats)
        return Pull{part, std::move(name)};
    Seat seat{part, std::move(name), std::nullopt, std::nullopt};
    if (words.takes("serial"))
        seat.serial = take_mark(words, "a serial number: at most 16 letters, digits, - or .");
    if (words.takes("build"))
        seat.build = take_mark(words, "a build: at most 16 letters, digits, - or .");
    return seat;
}

Order wear(Words& words, bool broken) {
    constexpr std::array named{"the name of a sensor", "the name of a supply",
                               "the name of a port"};
    const std::size_t what = words.choose({"sensor", "feed", "neighbour"});
    return Wear{broken, static_cast<Wear::What>(what), words.take(named.at(what))};
}

Order world(Words& words) {
    switch (words.choose({"flap", "break", "mend", "load", "stick", "room", "remark"})) {
    case 0:
        words.choose({"port"});
        return Flap{words.take("the name of a port")};
    case 1:
        return wear(words, true);
    case 2:
        return wear(words, false);
    case 3:
        return OfferLoad{
            words.amount(0, 100'000, rates, "a whole number of Gb/s or Tb/s, 0 to 100000")};
    case 4: {
        words.choose({"sensor"});
        std::string name = words.take("the name of a sensor");
        return Stick{std::move(name), static_cast<double>(words.amount(-100, 900, temperatures,
                                                                       "a whole number of C"))};
    }
    case 6:
        return Remark{};
    default:
        return SetRoom{static_cast<double>(
            words.amount(-20, 80, temperatures, "a whole number of C, -20 to 80"))};
    }
}

Order fault(Words& words) {
    std::vector<std::string_view> names;
    for (const auto kind : fault_kinds())
        names.push_back(to_word(kind));
    names.emplace_back("clear");
    const std::size_t chosen = words.choose(names);
    if (chosen == names.size() - 1)
        return ClearFaults{};
    Fault made{.kind = fault_kinds()[chosen]};
    if (made.kind == Fault::Kind::slow)
        made.wait = Time(words.amount(0, 600'000, durations, "a duration: 3s, 500ms, 1 min"));
    if (made.kind == Fault::Kind::cut)
        made.bytes = static_cast<std::size_t>(
            words.amount(0, 1'000'000, {}, "a whole number of bytes, 0 to 1000000"));
    if (made.kind == Fault::Kind::contradict) {
        made.part = choose_part(words, {Part::plane, Part::module, Part::port, Part::tray,
                                        Part::supply, Part::controller});
        made.name = words.take("the name of a " + std::string(to_word(made.part)));
    }
    made.once = words.takes("once");
    return made;
}

} // namespace

tl::expected<Order, Misread> parse_order(std::string_view line) {
    try {
        Words words(line);
        Order order;
        switch (words.choose({"engineer", "technician", "world", "fault", "drop", "state"})) {
        case 0:
            order = engineer(words);
            break;
        case 1:
            order = technician(words);
            break;
        case 2:
            order = world(words);
            break;
        case 3:
            order = fault(words);
            break;
        case 4:
            words.choose({"sessions"});
            order = DropSessions{};
            break;
        default:
            order = TellState{};
            break;
        }
        words.end();
        return order;
    } catch (const Misread& misread) {
        return tl::unexpected(misread);
    }
}

} // namespace slotwitness::chassis
