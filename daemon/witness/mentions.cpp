#include "mentions.hpp"

#include <algorithm>
#include <cctype>

namespace slotwitness::witness {
namespace {

bool alphanumeric(char byte) {
    return std::isalnum(static_cast<unsigned char>(byte)) != 0;
}

std::string lower(std::string_view text) {
    std::string all(text);
    std::transform(all.begin(), all.end(), all.begin(), [](char byte) {
        return static_cast<char>(std::tolower(static_cast<unsigned char>(byte)));
    });
    return all;
}

bool stands_at(std::string_view line, std::size_t at, std::string_view name) {
    return line.substr(at).starts_with(name) && (at == 0 || !alphanumeric(line[at - 1])) &&
           (at + name.size() == line.size() || !alphanumeric(line[at + name.size()]));
}

/// Both in lower case.
bool stands_in(std::string_view line, std::string_view name) {
    for (std::size_t at = line.find(name); at != std::string_view::npos;
         at = line.find(name, at + 1))
        if (stands_at(line, at, name))
            return true;
    return false;
}

/// Calls `take` with each run of letters and digits, and where it begins.
template <class Take>
void each_word(std::string_view text, Take take) {
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (!alphanumeric(text[at]))
            continue;
        const std::size_t begin = at;
        while (at < text.size() && alphanumeric(text[at]))
            ++at;
        take(text.substr(begin, at - begin), begin);
    }
}

} // namespace

bool names(std::string_view line, std::string_view name) {
    return !name.empty() && stands_in(lower(line), lower(name));
}

void Mentions::add(std::size_t answer, const state::UnreadLine& line) {
    const auto number = static_cast<std::uint32_t>(lines_.size());
    lines_.push_back(
        {answer, &line, lower(line.also.empty() ? line.text : line.text + '\n' + line.also)});
    each_word(lines_.back().lower, [&](std::string_view word, std::size_t at) {
        words_[word].push_back({number, static_cast<std::uint32_t>(at)});
    });
}

const Mentions::Line* Mentions::first(std::string_view name) const {
    if (name.empty() || lines_.empty())
        return nullptr;
    const std::string wanted = lower(name);
    // A word of the name stands in a line that names it as a word, and the rarest in the fewest.
    const std::vector<Place>* rarest = nullptr;
    std::size_t offset = 0; // of that word in the name
    bool is_nowhere = false;
    each_word(wanted, [&](std::string_view word, std::size_t at) {
        const auto found = words_.find(word);
        is_nowhere = is_nowhere || found == words_.end();
        if (!is_nowhere && (rarest == nullptr || found->second.size() < rarest->size())) {
            rarest = &found->second;
            offset = at;
        }
    });
    if (is_nowhere)
        return nullptr;
    if (rarest == nullptr) { // it has no letter and no digit
        const auto line = std::find_if(lines_.begin(), lines_.end(), [&](const Line& each) {
            return stands_in(each.lower, wanted);
        });
        return line == lines_.end() ? nullptr : &*line;
    }
    const auto place = std::find_if(rarest->begin(), rarest->end(), [&](const Place& each) {
        return each.at >= offset && stands_at(lines_[each.line].lower, each.at - offset, wanted);
    });
    return place == rarest->end() ? nullptr : &lines_[place->line];
}

} // namespace slotwitness::witness
