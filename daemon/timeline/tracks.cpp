#include "tracks.hpp"

#include <algorithm>

namespace slotwitness::timeline {

void Tracks::tell(const TrackName& track, std::string_view state, Instant at, units::Duration gap) {
    const auto place = tracks_.try_emplace(track).first;
    std::optional<Span>& open = place->second.span;
    if (open && open->state == state && at - open->until <= gap) {
        open->until = at;
        return;
    }
    if (open)
        close(place);
    tracks_[track].span = Span{at, at, state};
}

void Tracks::end(const TrackName& track) {
    if (const auto place = tracks_.find(track); place != tracks_.end() && place->second.span)
        close(place);
}

void Tracks::close(std::map<TrackName, Open>::iterator track) {
    past_.push_back({track->first, *track->second.span});
    track->second.span.reset();
    ++track->second.past;
    if (past_.size() <= most_)
        return;
    const auto oldest = tracks_.find(past_.front().track);
    dropped_until_ = std::max(dropped_until_.value_or(Instant::min()), past_.front().span.until);
    past_.pop_front();
    if (--oldest->second.past == 0 && !oldest->second.span)
        tracks_.erase(oldest);
}

std::vector<Tracks::Shown> Tracks::shown() const {
    std::map<TrackName, Shown> all;
    for (const Past& past : past_)
        all[past.track].spans.push_back(past.span);
    for (const auto& [name, open] : tracks_)
        if (open.span) {
            all[name].spans.push_back(*open.span);
            all[name].open = true;
        }
    std::vector<Shown> result;
    for (auto& [name, shown] : all) {
        shown.track = name;
        result.push_back(std::move(shown));
    }
    return result;
}

} // namespace slotwitness::timeline
