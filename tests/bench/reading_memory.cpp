#include "reading_answer.hpp"
#include "section.hpp"

namespace slotwitness::bench {
namespace {

std::uint64_t allocations_of(Shape shape, std::size_t rows) {
    const std::string answer = answer_of(shape, (lines_before_rows(shape) + rows) * row_bytes);
    const profiles::Profile& described = profile(); // parsed before the count begins
    const std::uint64_t before = allocations();
    const state::Reading reading = profiles::read(described, query_of(shape), answer, true);
    return reading.rows.size() == rows && reading.wholly_read() ? allocations() - before : 0;
}

/// What further rows cost, so that what an answer costs once does not count.
double a_row(Shape shape) {
    constexpr std::size_t few = 20'000;
    const std::uint64_t of_few = allocations_of(shape, few);
    const std::uint64_t of_twice = allocations_of(shape, 2 * few);
    return static_cast<double>(of_twice - of_few) / few;
}

} // namespace

tl::expected<Findings, std::string> reading_memory(Scale /*scale*/) {
    /// A row's text and its facts, and the growing list of rows, twice as long each time.
    constexpr double most = 2.01;
    Findings findings;
    const std::pair<const char*, std::pair<Shape, Shape>> layouts[] = {
        {"table", {Shape::table, Shape::narrow}}, {"lines", {Shape::lines, Shape::thin_lines}}};
    for (const auto& [name, shapes] : layouts) {
        const double five = a_row(shapes.first);
        const double three = a_row(shapes.second);
        if (five <= 0 || three <= 0)
            return tl::unexpected(std::string{name} + ": the rows were not wholly read");
        Entry entry{std::string{name} + ", 5 columns", "allocations/row", spread_of({five})};
        entry.peer = "ours, 3 columns";
        entry.theirs = spread_of({three});
        entry.ratio = five / three;
        entry.at_most = 1;
        findings.entries.push_back(std::move(entry));
        Entry alone{std::string{name} + ", a row", "allocations", spread_of({five})};
        alone.at_most = most;
        findings.entries.push_back(std::move(alone));
    }
    findings.notes = {
        "Allocations that each further row costs: one for its text, one for its facts. A cell "
        "costs "
        "none of its own unless its value is a text of more than 15 bytes, which the standard "
        "library's strings keep outside, or a list of names."};
    return findings;
}

} // namespace slotwitness::bench
