#include "progress.hpp"

#include "terminal.hpp"

#include <slotwitness/marked/legible.hpp>

#include <algorithm>
#include <string_view>
#include <utility>

namespace slotwitness::program {

std::string Progress::line(const witness::GateFinding& finding) {
    if (finding.last_look && finding.last_look != last_) {
        last_ = finding.last_look;
        ++looks_;
    }
    const units::Instant at = last_ ? last_->answered : finding.opened;
    std::string line =
        units::to_rfc3339(at) + "  " + std::string(witness::to_word(finding.verdict));
    if (finding.failure)
        line += finding.failure == witness::Failure::seen_false ? " (seen false)" : " (not seen)";
    line +=
        "  " + std::string(witness::to_word(finding.truth)) + "  look " + std::to_string(looks_);
    if (finding.needs.count() > 0)
        line += "  held " + units::to_text(finding.held) + " of " + units::to_text(finding.needs);
    if (finding.verdict == witness::Verdict::pending && finding.deadline)
        line += "  left " + units::to_text(std::max(*finding.deadline - at, units::Duration(0)));
    return line + "  " + marked::legible(finding.because.text).text;
}

void Shown::show(const witness::GateFinding& finding, const std::string& line) {
    // The cursor rests at the beginning of the line: whatever else writes there covers it.
    constexpr const char* erase = "\x1b[J";
    // What goes on stands under what is told, beside the time.
    const std::size_t blanks = line.find("  ");
    const std::size_t time = blanks == std::string::npos ? 0 : blanks + 2;
    const std::pair now{finding.verdict, finding.truth};
    const bool is_news = std::exchange(last_, now) != std::optional{now};
    if (columns_ == 0)
        out_ << line << '\n';
    else if (is_news)
        out_ << erase << readable(line.substr(0, time), line.substr(time), columns_);
    else
        out_ << erase << cut(line, columns_) << '\r';
    out_.flush();
}

namespace {

/// "planes:3:17"; without the column where it is not the only one of its line.
std::string place_of(const witness::Cite& cite, bool is_only) {
    if (cite.at.line == 0) // of something that is not in it
        return cite.asking + ", the whole answer";
    const std::string line = cite.asking + ':' + std::to_string(cite.at.line);
    return is_only ? line + ':' + std::to_string(cite.at.column) : line;
}

} // namespace

std::string cited(const witness::Because& because) {
    std::string lines;
    const auto& cites = because.cites;
    for (auto cite = cites.begin(); cite != cites.end();) {
        // Several facts of one line: the line once.
        const auto first = cite;
        const auto end_of_line = std::find_if(cite, cites.end(), [&](const witness::Cite& each) {
            return each.asking != first->asking || each.capture != first->capture ||
                   each.at.line != first->at.line;
        });
        const std::string place = "    " + place_of(*first, end_of_line - first == 1) + "  ";
        cite = end_of_line;
        std::string_view rest = first->text;
        for (bool is_first = true; is_first || !rest.empty(); is_first = false) {
            const std::size_t end = std::min(rest.find('\n'), rest.size());
            lines += (is_first ? place : std::string(place.size(), ' ')) +
                     marked::legible(rest.substr(0, end)).text + '\n';
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
    }
    return lines;
}

} // namespace slotwitness::program
