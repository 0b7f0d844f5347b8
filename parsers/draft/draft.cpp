#include "draft.hpp"

#include "text.hpp"
#include "write.hpp"

#include <slotwitness/terminal/clean.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::draft {

namespace {

constexpr std::size_t usual_tab_width = 8; ///< common practice, no source

constexpr std::string_view preface =
    "# A first profile, drafted from captured text. How the text is laid out is a guess that "
    "reads\n"
    "# it; what it means is for you to say, with the device's handbook at hand:\n"
    "#   1. write the family's name, and of each query the command and the kind of its rows:\n"
    "#      chassis controller module plane fan-tray power-supply port neighbour sensor alarm;\n"
    "#   2. map the words of [words.…]: take the # away, write for example \"oper enabled\" or\n"
    "#      \"admin locked, oper disabled\". A word that is not mapped is unknown, and no gate\n"
    "#      passes on it;\n"
    "#   3. look at each cell that is ignored.\n"
    "# Then read the text again: slotwitness read --profile THIS --query ID TEXT\n\n";

/// "No alarms.": a line that stands for an empty list.
std::string says_none(std::string_view text) {
    const std::vector<std::string> lines = lines_of(text);
    std::string only;
    for (const std::string& line : lines) {
        if (is_blank(line))
            continue;
        if (!only.empty())
            return {};
        only = line.substr(0, line.find_last_not_of(' ') + 1);
    }
    const std::string lower = slug(only, "");
    return lower.starts_with("no-") || lower.starts_with("none") ? only : std::string();
}

class Drafter {
  public:
    std::string draft(std::span<const Sample> samples) && {
        for (const Sample& sample : samples)
            add(sample);
        std::string text(preface);
        text += "[profile]\nformat = 1\nfamily = \"Not named yet\"\n\n";
        if (has_tabs_)
            text += "[terminal]\ntab-width = " + std::to_string(usual_tab_width) +
                    "  # the text has tabs; so wide they usually are\n\n";
        if (!rules_.empty())
            text += "[grammar]\nrules = '''\n" + rules_ + "'''\n\n";
        text += write_words(words_);
        for (const QueryDraft& query : queries_)
            text += write_query(query) + "\n";
        return text;
    }

  private:
    void add(const Sample& sample) {
        terminal::TerminalSpec terminal;
        if (sample.text.find('\t') != std::string::npos) {
            has_tabs_ = true;
            terminal.tab_width = usual_tab_width;
        }
        const terminal::Clean clean = terminal::clean(sample.text, terminal, true);
        QueryDraft query;
        query.id = unique(slug(sample.name, "answer"), "-", ids_);
        query.none = says_none(clean.text());
        query.shape = query.none.empty() ? best_shape(clean.text()) : nothing_known();
        const bool may_be_nameless =
            !std::holds_alternative<layouts::TableSpec>(query.shape.layout) &&
            query.shape.blocks < 2;
        const auto* record = std::get_if<layouts::RecordSpec>(&query.shape.layout);
        query.names_none = may_be_nameless && !(record && !record->heading.empty());
        query.cells = CellDrafter{query.shape, words_}.draft(
            query.names_none ? query.shape.columns.size() : name_column(query.shape));
        pass_over(query);
        queries_.push_back(std::move(query));
    }

    static Shape nothing_known() {
        layouts::TableSpec spec;
        spec.edges = layouts::TableSpec::Edges::blanks;
        spec.columns = {"COLUMN 1", "COLUMN 2"};
        return {spec, {{"COLUMN 1", {}}, {"COLUMN 2", {}}}, 0, {}, {}};
    }

    void pass_over(QueryDraft& query) {
        for (const std::string& line : query.shape.footers) {
            const std::string rule = abnf_of(line);
            if (rule.empty()) {
                query.pass_over.push_back(line);
                continue;
            }
            const std::string name =
                query.id + "-footer-" + std::to_string(query.footer_rules.size() + 1);
            rules_ += name + " = " + rule + "\n";
            query.footer_rules.push_back(name);
        }
    }

    bool has_tabs_ = false;
    WordLists words_;
    std::set<std::string> ids_;
    std::string rules_;
    std::vector<QueryDraft> queries_;
};

} // namespace

std::string draft_profile(std::span<const Sample> samples) {
    return Drafter{}.draft(samples);
}

} // namespace slotwitness::draft
