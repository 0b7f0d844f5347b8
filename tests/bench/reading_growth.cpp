#include "reading_answer.hpp"
#include "section.hpp"

#include <array>

namespace slotwitness::bench {
namespace {

struct Size {
    std::size_t bytes;
    const char* name;
    std::size_t times; ///< readings a round, so that the clock's grain does not matter
};
constexpr std::array<Size, 5> sizes{{{20'000, "20 KB", 200},
                                     {200'000, "200 KB", 50},
                                     {2'000'000, "2 MB", 8},
                                     {20'000'000, "20 MB", 1},
                                     {200'000'000, "200 MB", 1}}};
/// Beyond the caches each byte of the answer and of the rows costs more, once; what grows faster
/// than the answer passes every bound.
constexpr double most_growth = 4;

tl::expected<std::vector<double>, std::string> measure(Shape shape, const Size& size,
                                                       std::size_t rounds) {
    const std::string answer = answer_of(shape, size.bytes);
    std::vector<double> nanoseconds;
    for (std::size_t round = 0; round <= rounds; ++round) {
        double taken = 0;
        std::size_t rows = 0;
        for (std::size_t i = 0; i < size.times; ++i)
            taken += seconds_of([&] {
                state::Reading reading = profiles::read(profile(), query_of(shape), answer, true);
                rows += reading.wholly_read() ? reading.rows.size() : 0;
                return reading;
            });
        if (rows == 0)
            return tl::unexpected(std::string{size.name} + " were not wholly read");
        if (round > 0)
            nanoseconds.push_back(taken * 1e9 / static_cast<double>(rows));
    }
    return nanoseconds;
}

} // namespace

tl::expected<Findings, std::string> reading_growth(Scale scale) {
    Findings findings;
    for (const auto& [shape, name] : {std::pair{Shape::table, "table"}, {Shape::lines, "lines"}}) {
        std::optional<Spread> smallest;
        for (const Size& size : sizes) {
            if (scale.quick && size.bytes > 2'000'000)
                break;
            auto measured = measure(shape, size, scale.quick ? 1 : 3);
            if (!measured)
                return tl::unexpected(std::move(measured.error()));
            const Spread spread = spread_of(std::move(*measured));
            Entry entry{std::string{name} + ", " + size.name, "ns/row", spread};
            if (smallest) {
                entry.peer = "ours, " + std::string{sizes.front().name};
                entry.theirs = smallest;
                entry.ratio = spread.median / smallest->median;
                entry.at_most = most_growth;
            } else {
                smallest = spread;
            }
            findings.entries.push_back(std::move(entry));
        }
    }
    findings.notes = {
        "Time for a row in answers of growing size: were reading not linear, a thousand times the "
        "bytes would show it. 20 KB and their rows fit the caches, 200 MB and theirs do not."};
    return findings;
}

} // namespace slotwitness::bench
