#pragma once

#include "measure.hpp"

#include <tl/expected.hpp>

#include <optional>
#include <string>
#include <vector>

/// Measurements of Slotwitness beside general-purpose peers that do the same job in the same run.
namespace slotwitness::bench {

/// One line of the report.
struct Entry {
    std::string what;
    std::string unit; ///< of `ours`, `theirs` and `floor`
    Spread ours;
    std::string peer{}; ///< empty: nobody to compare with
    std::optional<Spread> theirs{};
    std::optional<double> ratio{};    ///< ours to theirs, the median of the rounds
    std::optional<double> at_least{}; ///< what the ratio must be; without a ratio, our median
    std::optional<double> at_most{};
    std::optional<Spread> floor{}; ///< what no program that does the job could do without

    /// Nothing stated is missed.
    [[nodiscard]] bool holds() const;
};

struct Scale {
    bool quick = false; ///< small inputs, one round: it only shows that everything runs
    [[nodiscard]] std::size_t rounds() const { return quick ? 1 : 7; }
};

struct Findings {
    std::vector<Entry> entries;
    std::vector<std::string> notes; ///< what exactly was done; a paragraph each
};

/// A part of the report. Fails, with the reason, where its subjects do not agree on the result: a
/// speed at which something else is computed says nothing.
struct Section {
    std::string name;
    tl::expected<Findings, std::string> (*run)(Scale scale);
};

/// Every section, in the order of the report. A new one is a source of its own and a line here.
[[nodiscard]] const std::vector<Section>& sections();

[[nodiscard]] tl::expected<Findings, std::string> reading_speed(Scale scale);
[[nodiscard]] tl::expected<Findings, std::string> reading_growth(Scale scale);
[[nodiscard]] tl::expected<Findings, std::string> reading_memory(Scale scale);
[[nodiscard]] tl::expected<Findings, std::string> witness_looks(Scale scale);
[[nodiscard]] tl::expected<Findings, std::string> links_queries(Scale scale);
[[nodiscard]] tl::expected<Findings, std::string> links_round_trips(Scale scale);

} // namespace slotwitness::bench
