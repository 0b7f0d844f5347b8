#include "segment.hpp"

#include "checked.hpp"

namespace slotwitness::forecast {

tl::expected<void, NotIdentified> Segment::take(const Look& look) {
    if (auto refused = unusable(look, looks_.empty() ? nullptr : &looks_.back()))
        return tl::unexpected(*std::move(refused));
    if (look.earliest < since_)
        return tl::unexpected(NotIdentified{
            Why::absurd,
            "the look may show what was so before the change; take one whose age is surely less",
            {}});
    looks_.push_back(look);
    return {};
}

void Segment::begin_anew(units::Instant since) {
    since_ = since;
    looks_.clear();
}

} // namespace slotwitness::forecast
