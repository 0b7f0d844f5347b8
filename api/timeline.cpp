#include "timeline.hpp"

#include "chassis.hpp"
#include "shown.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/units/time.hpp>

#include <cmath>

namespace slotwitness::api {

namespace {

using nlohmann::json;
using units::to_rfc3339;

json to_json(const timeline::Tracks::Shown& track, const desk::Desk& desk) {
    json spans = json::array();
    for (const timeline::Span& span : track.spans)
        spans.push_back({{"from", to_rfc3339(span.from)},
                         {"until", to_rfc3339(span.until)},
                         {"state", span.state}});
    std::string text;
    if (track.track.of == "gate")
        if (const auto gate = desk.gate(track.track.name))
            text = gate->finding.sentence;
    if (track.track.of == "procedure")
        if (const auto procedure = desk.procedure(track.track.name))
            text = procedure->record.opened.title;
    return {{"of", track.track.of},
            {"name", track.track.name},
            {"text", std::move(text)},
            {"spans", std::move(spans)},
            {"open", track.open}};
}

json to_json(const timeline::Part& part) {
    return {{"kind", state::to_word(part.component.kind)},
            {"name", part.component.name},
            {"label", part.label},
            {"condition", timeline::to_word(part.told.condition)},
            {"why", part.told.why},
            {"asking", part.asking},
            {"at", to_rfc3339(part.at)},
            {"valid_until", to_rfc3339(part.valid_until)}};
}

json to_json(const timeline::Mark& mark) {
    return {{"at", to_rfc3339(mark.at)}, {"what", mark.what}, {"procedure", mark.procedure},
            {"step", mark.step},         {"by", mark.by},     {"on_behalf_of", mark.on_behalf_of}};
}

/// To what a line's width shows.
double hundredths(double celsius) {
    return std::round(celsius * 100) / 100;
}

json band_of(const std::string& sensor, const std::vector<warming::Outlook>& outlooks) {
    json band = json::array();
    for (const warming::Outlook& outlook : outlooks)
        if (outlook.sensor == sensor)
            for (const forecast::BandPoint& point : outlook.band)
                band.push_back({{"at", to_rfc3339(point.at)},
                                {"low", hundredths(point.low)},
                                {"middle", hundredths(point.middle)},
                                {"high", hundredths(point.high)}});
    return band;
}

json to_json(const timeline::Watched& sensor, const std::vector<warming::Outlook>& outlooks) {
    json looks = json::array();
    for (const timeline::Warmth& look : sensor.looks)
        looks.push_back({{"at", to_rfc3339(look.at)}, {"celsius", look.celsius.to_text()}});
    return {{"name", sensor.name},
            {"procedure", sensor.procedure},
            {"hottest", sensor.hottest->to_text()},
            {"looks", std::move(looks)},
            {"band", band_of(sensor.name, outlooks)}};
}

} // namespace

Next get_timeline(const Request& request, const Places& places, const desk::Desk& desk) {
    const auto view = desk.timeline(places.front());
    if (!view)
        return no_such_chassis(request, places.front(), desk);
    const timeline::Shown& shown = view->shown;
    json out{{"chassis", places.front()},
             {"now", to_rfc3339(desk.now())},
             {"since", shown.since ? json(to_rfc3339(*shown.since)) : json(nullptr)},
             {"tracks", json::array()},
             {"parts", json::array()},
             {"clocks", json::array()},
             {"marks", json::array()},
             {"sensors", json::array()}};
    for (const timeline::Tracks::Shown& track : shown.tracks)
        out["tracks"].push_back(to_json(track, desk));
    for (const timeline::Part& part : shown.parts)
        out["parts"].push_back(to_json(part));
    for (const witness::CoolingFinding& clock : shown.clocks)
        out["clocks"].push_back(journal::to_json(clock));
    for (const timeline::Mark& mark : shown.marks)
        out["marks"].push_back(to_json(mark));
    for (const timeline::Watched& sensor : shown.sensors)
        out["sensors"].push_back(to_json(sensor, view->outlooks));
    return json_response(out);
}

} // namespace slotwitness::api
