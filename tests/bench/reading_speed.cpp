#include "reading_answer.hpp"
#include "reading_peers.hpp"
#include "section.hpp"

namespace slotwitness::bench {
namespace {

struct Goal {
    Shape shape;
    const char* name;
    double of_re2; ///< our speed is at least so many times RE2's
};

state::Reading read_ours(Shape shape, std::string_view answer) {
    return profiles::read(profile(), query_of(shape), answer, true);
}

/// The first row in which two readings differ, if they do.
tl::expected<void, std::string> check_same(const state::Reading& ours, const state::Reading& theirs,
                                           const std::string& peer, std::size_t rows) {
    if (!ours.wholly_read())
        return tl::unexpected("we left line " + std::to_string(ours.unread.front().line) +
                              " unread: expected " + ours.unread.front().expected);
    if (ours.rows.size() != rows || theirs.rows.size() != rows)
        return tl::unexpected(std::to_string(rows) + " rows; ours " +
                              std::to_string(ours.rows.size()) + ", " + peer + " " +
                              std::to_string(theirs.rows.size()));
    for (std::size_t i = 0; i < rows; ++i)
        if (ours.rows[i] != theirs.rows[i])
            return tl::unexpected(peer + " reads row " + std::to_string(i) +
                                  " otherwise: " + theirs.rows[i].text);
    return {};
}

Spread speeds(const std::vector<double>& seconds, std::size_t bytes) {
    std::vector<double> all;
    for (const double taken : seconds)
        all.push_back(static_cast<double>(bytes) / 1e6 / taken);
    return spread_of(std::move(all));
}

/// How many times as fast as they are we were, round by round.
double times_as_fast(const std::vector<double>& ours, const std::vector<double>& theirs) {
    std::vector<double> ratios;
    for (std::size_t i = 0; i < ours.size(); ++i)
        ratios.push_back(theirs[i] / ours[i]);
    return spread_of(std::move(ratios)).median;
}

tl::expected<void, std::string> measure(const Goal& goal, Scale scale,
                                        std::vector<Entry>& entries) {
    const std::string answer = answer_of(goal.shape, scale.quick ? 200'000 : 20'000'000);
    const std::size_t before = lines_before_rows(goal.shape);
    const std::size_t rows = count_lines(answer) - before;
    const auto engines = peers();
    std::vector<Subject> subjects{
        {"ours", [&] { return seconds_of([&] { return read_ours(goal.shape, answer); }); }}};
    {
        const state::Reading ours = read_ours(goal.shape, answer);
        for (const auto& peer : engines) {
            const state::Reading theirs = read_by(*peer, answer, before);
            if (auto same = check_same(ours, theirs, peer->name(), rows); !same)
                return same;
            subjects.push_back(
                {peer->name(),
                 [&] { return seconds_of([&] { return read_by(*peer, answer, before); }); }});
        }
    }
    subjects.push_back({"memchr", [&] { return seconds_of([&] { return count_lines(answer); }); }});

    const auto seconds = alternate(subjects, scale.rounds());
    for (std::size_t i = 0; i < engines.size(); ++i) {
        Entry entry{goal.name, "MB/s", speeds(seconds.front(), answer.size())};
        entry.peer = subjects[i + 1].name;
        entry.theirs = speeds(seconds[i + 1], answer.size());
        entry.ratio = times_as_fast(seconds.front(), seconds[i + 1]);
        if (i == 0)
            entry.at_least = goal.of_re2;
        entry.floor = speeds(seconds.back(), answer.size());
        entries.push_back(std::move(entry));
    }
    return {};
}

} // namespace

tl::expected<Findings, std::string> reading_speed(Scale scale) {
    Findings findings;
    for (const Goal& goal :
         {Goal{Shape::table, "table, 20 MB", 5}, {Shape::lines, "lines, 20 MB", 1}})
        if (auto measured = measure(goal, scale, findings.entries); !measured)
            return tl::unexpected(std::move(measured.error()));
    findings.notes = {
        "Bytes of an answer to typed state: rows of 80 bytes with a name, two words, a quantity "
        "and a serial "
        "number become rows of a reading, each with the places of its cells and its text.",
        "Ours is the whole of profiles::read: the terminal's bytes, the layout, every check of "
        "both, the meanings of the profile. The peers do the same job: they match one expression "
        "with five captures, compiled once, against each line, look the words up in two lists of "
        "three, parse the quantity with our own function, and build the same rows of the same "
        "types, with room for all made at the beginning. They need no columns, no terminal and no "
        "profile, and check nothing but the expression. Before the clock starts all have read the "
        "same rows.",
        "RE2 captures five groups with a slower matcher than four. \"RE2, 4 groups\" is what one "
        "gets who knows that: the fifth cell is the rest of its line.",
        "The floor is memchr finding the line ends of the answer, and nothing more. MB are 10^6 "
        "bytes; "
        "the median of the rounds (slowest–fastest), all subjects in turn, in memory that the "
        "program "
        "had already. The ratio is the median "
        "of the "
        "rounds' own."};
    return findings;
}

} // namespace slotwitness::bench
