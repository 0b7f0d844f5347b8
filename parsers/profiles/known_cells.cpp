#include "known_cells.hpp"

#include "attributes.hpp"
#include "cell_text.hpp"

#include <algorithm>
#include <span>
#include <string>
#include <utility>

namespace slotwitness::profiles {
namespace {

/// The labels as the layout shows them with its cells, where its specification holds them.
struct LabelsOf {
    std::span<const std::string> operator()(const layouts::TableSpec& spec) const {
        return spec.columns;
    }
    std::span<const std::string> operator()(const layouts::Lines& lines) const {
        return lines.spec().cells;
    }
    template <class Spec>
    std::span<const std::string> operator()(const Spec&) const {
        return {};
    }
};

/// In the order in which the profile has them.
std::vector<KnownCell> cells_of(const Profile& profile, const Query& query) {
    std::vector<KnownCell> cells;
    const std::span<const std::string> labels = std::visit(LabelsOf{}, query.layout);
    for (const auto& [text, meaning] : query.cells) {
        const auto same = std::find(labels.begin(), labels.end(), text);
        KnownCell& known = cells.emplace_back();
        known.label = same != labels.end() ? *same : text;
        known.meaning = &meaning;
        known.as = meaning.as;
        known.is_plain = is_said_plainly(meaning);
        if (meaning.attribute)
            known.unit = unit_of(*meaning.attribute);
        const auto list = profile.words.find(meaning.words);
        if (list == profile.words.end())
            continue;
        known.list = &list->second;
        known.words.emplace(list->second);
    }
    return cells;
}

} // namespace

ShortList::ShortList(const WordList& words) {
    for (const auto& [text, meant] : words)
        if (!text.empty())
            entries_.push_back({ends_of(text), text, &meant});
}

KnownCells::KnownCells(const Profile& profile, const Query& query)
    : cells_(cells_of(profile, query)), count_(cells_.size()) {}

KnownCell* KnownCells::search(std::string_view label, std::size_t place) {
    const auto same = [&](const KnownCell& known) { return known.label == label; };
    if (place < cells_.size() && same(cells_[place]))
        return &cells_[place];
    const auto found = std::find_if(cells_.begin(), cells_.end(), same);
    if (found == cells_.end())
        return nullptr;
    if (place < cells_.size())
        std::swap(cells_[place], *found);
    return place < cells_.size() ? &cells_[place] : &*found;
}

} // namespace slotwitness::profiles
