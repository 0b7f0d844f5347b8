#include "json_trail.hpp"

#include <utility>

namespace slotwitness::layouts {

using To = JsonPath::To;

bool JsonTrail::name(std::string& name, std::size_t begin, std::size_t end) {
    item_ = begin;
    Level& level = levels_.back();
    if (level.fate != JsonFate::read)
        return false;
    is_second_ = !level.names.insert(name).second;
    member_.name.swap(name);
    member_.begin = begin;
    member_.end = end;
    return true;
}

JsonFate JsonTrail::arrive(std::size_t begin) {
    if (levels_.empty()) {
        item_ = begin;
        reached_ = paths_.root();
        is_quiet_ = ending(reached_, To::pass_over, 0) != nullptr;
    } else {
        Level& level = levels_.back();
        const std::size_t index = level.count++;
        if (!level.is_object)
            item_ = begin;
        if (level.fate != JsonFate::read)
            return level.fate == JsonFate::listed ? JsonFate::listed : JsonFate::skipped;
        const std::size_t depth = levels_.size() - 1;
        reached_ = level.is_object ? into_member(level.reached, depth, member_.name)
                                   : into_element(level.reached, depth, index);
        is_quiet_ = level.is_quiet || ending(reached_, To::pass_over, depth + 1) != nullptr;
        if (level.is_object && is_second_)
            return JsonFate::second;
        note_rows(level, depth);
    }
    if (is_named(reached_))
        return JsonFate::read;
    return is_quiet_ ? JsonFate::aside : JsonFate::unread;
}

void JsonTrail::note_rows(Level& level, std::size_t depth) {
    if (towards_rows(level.reached, depth) == nullptr)
        return;
    for (const JsonPath* path : reached_) {
        if (path->to != To::row)
            continue;
        level.has_rows = true;
        if (level.is_object && path->pointer.tokens[depth].any)
            row_member_ = member_;
    }
}

void JsonTrail::enter(bool is_object, JsonFate fate) {
    levels_.push_back({fate, item_, std::move(reached_), false, is_object, is_quiet_, 0, {}});
    reached_.clear();
}

JsonTrail::Level JsonTrail::leave(std::size_t end) {
    Level level = std::move(levels_.back());
    levels_.pop_back();
    item_ = end;
    return level;
}

} // namespace slotwitness::layouts
