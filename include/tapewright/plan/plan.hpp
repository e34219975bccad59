// SPDX-License-Identifier: BSL-1.0
// The answer: what to order, where to cut, how to connect, what was checked, what to expect.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/parts/catalogue.hpp"
#include "tapewright/plan/finding.hpp"
#include "tapewright/plan/job.hpp"
#include "tapewright/plan/search/price_sum.hpp"
#include "tapewright/plan/search/search_room.hpp"
#include "tapewright/sizing/connector_check.hpp"
#include "tapewright/sizing/controller_check.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feed_arrangement.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/mains_side.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"
#include "tapewright/sizing/run_length.hpp"
#include "tapewright/sizing/tape_load.hpp"

namespace tapewright {

/// How the feeder meets the tape.
enum class feed_join : std::int32_t {
  free_tail = 0,      ///< the tail that comes with the tape reaches the controller
  connector = 1,      ///< a connector of the catalogue at the tape's end
  soldered_tail = 2,  ///< the feeder is soldered on, a service with a fee
};

/// A cable laid: which one, how long it is cut, how its conductors were judged.
/// `number` counts the job's cables from 1 (W1, W2 …); 0 where no cable is needed.
struct laid_cable {
  std::int32_t number = 0;
  std::int32_t cable = -1;  ///< place in catalogue.cables, -1 = none
  metres route{};           ///< one way
  metres cut{};             ///< route and slack at both ends
  feeder_check check{};
  governed ruled_by = governed::none;  ///< what ruled out the next cheaper cable
  money credit{};                      ///< what its ampacity is worth by the rules' weights, bought alone
};

/// A feed point of a run: the cable to it, how it meets the tape, what it carries.
struct tape_feed {
  laid_cable feeder{};
  feed_join join = feed_join::free_tail;
  std::int32_t connector = -1;  ///< place in catalogue.connectors
  connector_check joint{};
  std::int64_t at = 0;                            ///< cut mark of its run, counted from the near end
  amps current{};                                 ///< that sized it: in its common
  bounded<amps, max_channels> channel_current{};  ///< and in each other core
  volts at_nominal{};                             ///< lowest channel, all on, nominal supply
  volts feed_least{}, feed_greatest{};            ///< all on, supply at either end of its tolerance
};

/// One run of the job, decided, or a section of one: a part that is electrically on its own. Same order as
/// job.runs, sections from the near end on. Its first feed point is the run_plan itself; further ones stand
/// in plan.feeds. A run of several stretches or pieces has its pieces in plan.stretches.
struct run_plan : tape_feed {
  std::int32_t run = 0, hub = -1;
  std::int32_t place = 0;                  ///< its own place in plan.runs
  std::int32_t section = 0, sections = 1;  ///< which of how many sections of its run
  std::int64_t first = 0;                  ///< cut mark of the whole run where it begins
  cut_length cut{};
  sale tape_sale{};  ///< were its tape bought alone; the order cuts all runs from shared lengths
  tape_load load{};  ///< currents that sized everything upstream
  feed_arrangement arrangement = feed_arrangement::one_end;
  std::int32_t more_feeds = 0, feeds_from = 0;     ///< how many further feed points, from where in plan.feeds
  std::int32_t stretches = 0, stretches_from = 0;  ///< how many pieces, from where in plan.stretches; 0 = one
  line_figures all_on{};         ///< solved with everything of its driver lit, nominal supply
  volts at_hub[max_channels]{};  ///< where a run that is fed in parts starts, solved likewise
  amps link_current{};           ///< common of its busiest link, solved likewise
  volts end_least{},
      end_greatest{};  ///< furthest lamp's dimmest channel, supply at either end of its tolerance
  bool solved = false;
};

/// A piece of tape of a run that has several, and the link before it: at a corner, where two pieces meet,
/// or where a ring is closed (then it stands before the first).
struct stretch_plan {
  std::int32_t run = 0;  ///< place in plan.runs
  cut_length cut{};      ///< `dark`: wall left over by the cut marks, and the gap of a link
  metres dark_near{};    ///< how much of it lies at its near end
  metres gap{};
  bool linked = false;          ///< a link joins it to what comes before
  std::int32_t connector = -1;  ///< place in catalogue.connectors; -1 = a soldered bridge
  connector_check link{};
};

/// Where the feeders of some runs come together: a controller, or (part none) a plain splice, or the
/// driver's own terminals when a single uncontrolled run hangs straight on it.
struct hub_plan {
  std::int32_t zone = 0;
  std::int32_t controller = -1;  ///< place in catalogue.controllers; -1 = no controller
  std::int32_t follows = -1;     ///< the hub whose signal a repeater follows
  std::int32_t output = -1;      ///< place in plan.outputs
  std::int32_t runs = 0;         ///< how many runs
  std::int32_t first_run = 0,
               past_run = 0;  ///< they stand in plan.runs from here to before there; 0, 0 = anywhere
  std::int32_t feeders = 0;   ///< how many feed points of theirs
  std::int32_t splice = -1;   ///< place in catalogue.connectors, where several feeders meet
  std::int32_t splices = 0;   ///< how many of it
  connector_check splice_check{};
  bounded<amps, max_channels> channel_current{};
  amps total{};
  watts load{};
  controller_check check{};
  money credit{};                         ///< what its controller's total is worth by the rules' weights
  laid_cable supply{};                    ///< driver to here
  volts input{};                          ///< solved, nominal supply, everything on
  volts input_least{}, input_greatest{};  ///< supply at either end of its tolerance
};

/// One output of a driver with what hangs on it. Outputs are never joined.
struct output_plan {
  std::int32_t driver = -1;  ///< place in plan.drivers
  std::int32_t number = 1;   ///< of that driver's outputs, from 1
  watts load{};
  amps current{};
  driver_check check{};
  amps cable_ampacity{};  ///< least current that its protection asks every cable behind it to carry
  ohms greatest_loop{};   ///< and the greatest loop to its farthest feed point, hot; 0 and 0 = nothing more
  square_millimetres cable_area{};  ///< and their least conductor, where its device asks for one
  volts set_to{};                   ///< what its trim is set to; 0 = left as it is delivered
  std::int32_t device = -1;         ///< place in catalogue.overcurrent_devices; -1 = none
  overcurrent_check protection{};
  std::int32_t plug = -1;  ///< mating connector of its own output connector
  connector_check plug_check{};

  /// What it gives: as its trim is set, else as its driver is delivered, V.
  constexpr volts gives(volts delivered) const noexcept { return set_to.v > 0 ? set_to : delivered; }
};

struct driver_plan {
  std::int32_t part = -1;    ///< place in catalogue.drivers
  std::int32_t zone = 0;     ///< the first zone it serves; tells its place
  std::int32_t outputs = 0;  ///< how many are used
  watts load{};
  amps mains_current{};
  money credit{};  ///< what the capacity of all its outputs is worth by the rules' weights
};

/// Mains side of the whole job.
struct mains_plan {
  amps steady{};
  std::int32_t breakers = 0;      ///< circuits, each with a breaker and a residual current device
  std::int32_t drivers_each = 0;  ///< most drivers on one of them
  amps leakage{};                 ///< of all drivers together
  kilowatt_hours yearly{};
  money yearly_cost{};
};

/// What a service is, where an order line is not a part.
enum class service_kind : std::int32_t { none = 0, soldered_tail = 1, soldered_link = 2, cut_piece = 3 };

/// A line of the order. `quantity` counts sale units: whole quanta of tape and cable, pieces otherwise.
struct order_line {
  part_ref part{};
  service_kind service = service_kind::none;
  std::int64_t quantity = 0;
  metres length{};              ///< quantity in metres for tape and cable, else 0
  money unit_price{}, total{};  ///< 0 and price_known = false where the catalogue states none
  bool price_known = false;
};

/// A piece to be cut. Tape: `segments` whole pitches. Cable: `number` is its W-number.
struct cut_piece {
  part_ref part{};
  tapewright::subject about{};
  std::int32_t number = 0;
  std::int64_t segments = 0;
  metres length{};
  metres dark{};       ///< wall left dark at both ends of the piece
  metres dark_near{};  ///< how much of it before its near end
  /// Which of the lengths bought of its part it is cut from, counted from 1, and how long that one is.
  std::int32_t stock = 0;
  metres stock_length{};
};

enum class terminal_kind : std::int32_t {
  driver_positive = 0,
  driver_negative = 1,
  fuse_in = 2,
  fuse_out = 3,
  hub_positive = 4,
  hub_negative = 5,
  hub_common = 6,
  hub_channel = 7,
  tape_common = 8,
  tape_channel = 9,
};

/// A place where a conductor ends: `owner` is the output (driver_*, fuse_*), hub or run; `channel`
/// counts from 0 and is used by the channel terminals only; `feed` counts a run's feed points from 0.
struct terminal {
  terminal_kind kind = terminal_kind::driver_positive;
  std::int32_t owner = 0;
  std::int32_t channel = 0;
  std::int32_t feed = 0;

  friend constexpr bool operator==(const terminal&, const terminal&) noexcept = default;
};

/// One conductor of the connection schedule. `core` counts from 1 within cable `number`;
/// number 0 is a bridge inside an enclosure.
struct connection {
  std::int32_t number = 0;
  std::int32_t cable = -1;  ///< place in catalogue.cables
  std::int32_t core = 0;
  terminal from{}, to{};
  square_millimetres area{};
  metres length{};
  amps current{};  ///< all channels on
};

enum class reading_kind : std::int32_t {
  driver_output = 0,
  hub_input = 1,
  feed_point = 2,
  far_end = 3,
  channel_current = 4
};

/// What a meter should show. `channel` is -1 with all channels on and the reading taken on the channel
/// that is lowest there; otherwise that channel is lit alone. Volts, or amperes for channel_current.
struct reading {
  reading_kind kind = reading_kind::driver_output;
  tapewright::subject about{};
  std::int32_t channel = -1;
  double expected = 0, least = 0, most = 0;
  std::int32_t feed = 0;  ///< which of a run's feed points, from 0
};

/// Cautions and tasks, as numbers; the texts stand in plan/notes.hpp.
enum class note_code : std::int32_t {
  none = 0,
  isolate_first = 1,
  fuse_every_output = 2,
  never_parallel_outputs = 3,
  ventilate_drivers = 4,
  keep_ingress = 5,
  mains_by_qualified_person = 6,
  defer_to_local_code = 7,
  tape_on_cooling_surface = 8,
  polarity_before_power = 9,
  measure_before_light = 10,
  fit_socket_outlet = 20,
  fit_fused_connection = 21,
  reserve_breaker = 22,
  fit_residual_current_device = 23,
  route_apart_from_mains = 24,
  no_mains_in_same_enclosure = 25,
  ask_inrush = 26,
  set_trim = 27,
};
struct note {
  note_code code = note_code::none;
  tapewright::subject about{};
};

/// What the network says at a feed point. An unlit channel has no voltage and no current.
struct fed_point {
  volts channel[max_channels];
  amps common;
};

/// Scratch of the network for runs with several feed points or pieces; all empty where there are none.
struct fed_space {
  std::span<run_stretch> stretches;
  std::span<feed_point> points;
  std::span<feed_current> currents;
  std::span<fed_run> runs;
  std::span<fed_run_figures> figures;
  std::span<fed_run_profile> profiles;
  std::span<fed_point> feeds;  ///< one a run at its place, then one for each of plan.feeds
};

/// Storage a plan is written into: the caller's. `space_for` says how much of each is always enough.
struct plan_space {
  std::span<run_plan> runs;
  std::span<hub_plan> hubs;
  std::span<output_plan> outputs;
  std::span<driver_plan> drivers;
  std::span<order_line> order;
  std::span<cut_piece> pieces;
  std::span<connection> connections;
  std::span<finding> findings;
  std::span<reading> readings;
  std::span<note> notes;
  std::span<line_figures> figures;  ///< scratch of the network
  std::span<double> network;        ///< scratch for lines that need it; may be empty, see solve_line
  std::span<std::int32_t> scratch;
  std::span<tape_feed> feeds;
  std::span<stretch_plan> stretches;
  fed_space fed;
  search_space search;  ///< scratch of the searches
};

struct plan_counts {
  std::size_t runs, hubs, outputs, drivers, order, pieces, connections, findings, readings, notes, figures,
      scratch, feeds, stretches, fed_runs, fed_stretches, fed_points, network;
  search_counts search;
};

/// A catalogue of up to so many controllers and so many drivers needs no more room than space_for(runs) tells.
inline constexpr std::size_t usual_parts = 64;

/// Room that is always enough for a job of so many runs (sections counted), each of which may have its own
/// controller, output and driver: a conductor for each channel and the common, two for each supply cable and
/// four at a fused output; and so on, line by line. `feeds` further feed points and `stretches` pieces of runs
/// that have several add theirs, and ask for `network` doubles of scratch: see sections.hpp for what a job needs.
/// `parts` is the greater of the catalogue's numbers of controllers and drivers.
constexpr plan_counts space_for(std::size_t runs, std::size_t feeds = 0, std::size_t stretches = 0,
                                std::size_t network = 0, std::size_t parts = usual_parts) noexcept {
  const bool fed = feeds + stretches > 0;
  return {
      .runs = runs,
      .hubs = runs,
      .outputs = runs,
      .drivers = runs,
      // tape, feeder, join, fee | controller, splice, supply | device, plug | driver; feeder, join, fee; link, fee; cuts
      .order = 10 * runs + 3 * feeds + 2 * stretches + 1,
      .pieces = 3 * runs + feeds + stretches,  // tape, feeder, supply cable
      .connections = (max_channels + 1 + 2 + 2) * runs + (max_channels + 1) * feeds,
      // 20 a run, 11 a hub, 14 an output and its driver; mains, prices; 6 a feed point, 1 a piece
      .findings = 46 * runs + 8 + 6 * feeds + stretches,
      .readings = (2 + 2 * max_channels + 1 + 1) * runs + runs * max_channels + (1 + max_channels) * feeds,
      .notes = 16 + 4 * runs,
      .figures = runs,
      .scratch = 8 * runs,
      .feeds = feeds,
      .stretches = stretches,
      .fed_runs = fed ? runs : 0,
      .fed_stretches = fed ? runs + stretches : 0,
      .fed_points = fed ? 2 * runs + feeds : 0,
      .network = network,
      // the pieces of one tape, or the feeders and supply cables of one cable
      .search = search_room(2 * runs + feeds + stretches, parts)};
}

/// What the parts of an order carry beyond their loads.
struct spare_capacity {
  watts drivers{};     ///< of all outputs, derated, headroom kept, as currents allow
  amps controllers{};  ///< of their totals
  amps cables{};       ///< of the ampacity of feeders and supply cables, one common core each

  friend constexpr bool operator==(const spare_capacity&, const spare_capacity&) noexcept = default;
};

/// What the searches of a plan have found so far; prices less what capacity is worth (rules.balanced).
struct search_tally {
  std::int64_t steps_left = 0, steps = 0;
  cost price{}, price_at_least{};  ///< of the parts told so far
  cost tape_at_least{};            ///< of tape and its pieces, which are cut alike in every order
  bool split = false;              ///< runs that could share controllers are carried one by one

  constexpr void add_tape(cost found, cost least) noexcept {
    add(found, least);
    tape_at_least += least;
  }
  constexpr void add(cost found, cost least) noexcept {
    price += found;
    price_at_least += least;
  }
  /// What one search may take: a quarter of what is left, so that no question starves the others.
  constexpr std::int64_t steps_of_one() const noexcept { return (steps_left + 3) / 4; }
  constexpr void spend(std::int64_t used) noexcept {
    steps += used;
    steps_left -= used;
  }
};

/// While it lives, what is added to a tally counts with nothing in its bound.
class unbounded {
 public:
  constexpr explicit unbounded(search_tally& tally) noexcept : tally_{tally}, least_{tally.price_at_least} {}
  unbounded(const unbounded&) = delete;
  unbounded& operator=(const unbounded&) = delete;
  constexpr ~unbounded() noexcept { tally_.price_at_least = least_; }

 private:
  search_tally& tally_;
  cost least_;
};

/// The whole answer, as views of the space it was written into; valid while that space is.
struct plan {
  std::span<const run_plan> runs{};
  std::span<const hub_plan> hubs{};
  std::span<const output_plan> outputs{};
  std::span<const driver_plan> drivers{};
  std::span<const order_line> order{};
  std::span<const cut_piece> pieces{};
  std::span<const connection> connections{};
  std::span<const finding> findings{};  ///< worst first
  std::span<const reading> readings{};
  std::span<const note> notes{};
  std::span<const tape_feed> feeds{};  ///< further feed points, see run_plan
  std::span<const stretch_plan> stretches{};
  mains_plan mains{};
  watts load{};
  money price{};       ///< sum of the lines whose price is known
  price_sum to_pay{};  ///< its discount, tax and gross by the rules' terms; all 0 where it passes 4e15
  bool every_price_known = false;
  bool fits = false;  ///< no finding failed
  /// What any order for this job costs at least that holds every rule: whatever controllers carry the runs, whatever
  /// drivers carry these, whatever cables, joints, splices and protection follow, and however tape and cable are cut
  /// from what is sold. Cables, joints and protection follow as the planner chooses them: connectors before solder where
  /// the rules say so, one cable to a feed point, feed points evenly spaced. 0 where lines without a price leave no bound.
  /// Where spare capacity is worth something (rules.balanced) that is a statement on price - capacity_credit, what an
  /// order counts, and on controllers, drivers and stock lengths only: the rest as it is. It may be below 0 then.
  money price_at_least{};
  bool proven = false;      ///< it holds every rule, and no such order is cheaper; or counts less
  money capacity_credit{};  ///< what the rules' weights take off for the capacity bought, see plan/spare.hpp
  spare_capacity spare{};
  std::int64_t steps = 0;  ///< that the searches took, of the rules' search_steps
};

/// A plan while it is being made: the question, and lists over the caller's storage. Stages read and
/// write it in turn.
struct draft {
  const job& question;
  const catalogue& parts;
  span_list<run_plan> runs;
  span_list<hub_plan> hubs;
  span_list<output_plan> outputs;
  span_list<driver_plan> drivers;
  span_list<order_line> order;
  span_list<cut_piece> pieces;
  span_list<connection> connections;
  span_list<finding> findings;
  span_list<reading> readings;
  span_list<note> notes;
  std::span<line_figures> figures;
  std::span<double> network;
  std::span<std::int32_t> scratch;
  mains_plan mains;
  span_list<tape_feed> feeds{};
  span_list<stretch_plan> stretches{};
  fed_space fed{};
  search_space search{};
  search_tally tally{};
  bool first_hubs = false;  ///< hubs stay as the switching stage chose them
  bool other_hubs = false;  ///< some were given up for others that cost less with their drivers

  /// A run's feed points: its own, then the further ones; k from 0 to more_feeds.
  constexpr tape_feed& feed_of(run_plan& r, std::int32_t k) noexcept {
    return k == 0 ? r : feeds[static_cast<std::size_t>(r.feeds_from + k - 1)];
  }
  constexpr const tape_feed& feed_of(const run_plan& r, std::int32_t k) const noexcept {
    return k == 0 ? r : feeds[static_cast<std::size_t>(r.feeds_from + k - 1)];
  }
  constexpr const run& asked(const run_plan& r) const noexcept {
    return question.runs[static_cast<std::size_t>(r.run)];
  }
  constexpr const zone& zone_of(const hub_plan& h) const noexcept {
    return question.zones[static_cast<std::size_t>(h.zone)];
  }
  constexpr const zone& zone_of(const run_plan& r) const noexcept {
    return question.zones[static_cast<std::size_t>(asked(r).zone)];
  }
  constexpr const tape& tape_of(const run_plan& r) const noexcept {
    return parts.tapes[static_cast<std::size_t>(asked(r).tape)];
  }
  /// Nominal voltage of a hub: that of its runs' tapes, which the switching stage keeps alike; 0 without runs.
  constexpr volts nominal_of(std::int32_t hub) const noexcept {
    for (const run_plan& r : runs_of(hub))
      if (r.hub == hub) return tape_of(r).nominal;
    return {};
  }
  /// What a hub's driver gives: as it is delivered, which is nominal, or as its trim is set.
  constexpr volts source_of(std::int32_t hub) const noexcept {
    const std::int32_t output = hubs[static_cast<std::size_t>(hub)].output;
    const volts nominal = nominal_of(hub);
    return output < 0 ? nominal : outputs[static_cast<std::size_t>(output)].gives(nominal);
  }
  constexpr volts source_of(const run_plan& r) const noexcept {
    return r.hub < 0 ? tape_of(r).nominal : source_of(r.hub);
  }
  /// The part of the runs among which all of a hub's are; others may stand between them.
  constexpr std::span<run_plan> runs_of(std::int32_t hub) noexcept {
    const hub_plan& h = hubs[static_cast<std::size_t>(hub)];
    return h.past_run == 0 ? runs.all()
                           : runs.all().subspan(static_cast<std::size_t>(h.first_run),
                                                static_cast<std::size_t>(h.past_run - h.first_run));
  }
  constexpr std::span<const run_plan> runs_of(std::int32_t hub) const noexcept {
    const hub_plan& h = hubs[static_cast<std::size_t>(hub)];
    return h.past_run == 0 ? runs.all()
                           : runs.all().subspan(static_cast<std::size_t>(h.first_run),
                                                static_cast<std::size_t>(h.past_run - h.first_run));
  }
  /// The controller of a hub, or nullptr.
  constexpr const controller* controller_of(const hub_plan& h) const noexcept {
    return h.controller < 0 ? nullptr : &parts.controllers[static_cast<std::size_t>(h.controller)];
  }
};

/// Storage for a job of up to Runs runs, for C++ callers and constant evaluation. `Network` doubles are
/// for lines that fade out or pass many corners of their loads: line_workspace(N, C) of the longest. `Feeds`
/// further feed points, `Stretches` pieces and `Parts` controllers or drivers as space_for counts them.
template <std::size_t Runs, std::size_t Network = 0, std::size_t Feeds = 0, std::size_t Stretches = 0,
          std::size_t Parts = usual_parts>
struct plan_storage {
  static constexpr plan_counts counts = space_for(Runs, Feeds, Stretches, Network, Parts);
  static constexpr std::size_t some(std::size_t n) noexcept { return n == 0 ? 1 : n; }
  run_plan runs[counts.runs];
  hub_plan hubs[counts.hubs];
  output_plan outputs[counts.outputs];
  driver_plan drivers[counts.drivers];
  order_line order[counts.order];
  cut_piece pieces[counts.pieces];
  connection connections[counts.connections];
  finding findings[counts.findings];
  reading readings[counts.readings];
  note notes[counts.notes];
  line_figures figures[counts.figures];
  double network[some(Network)] = {};
  std::int32_t scratch[counts.scratch] = {};
  tape_feed feeds[some(Feeds)];
  stretch_plan stretches[some(Stretches)];
  run_stretch fed_stretches[some(counts.fed_stretches)];
  feed_point fed_points[some(counts.fed_points)];
  feed_current fed_currents[some(counts.fed_points)];
  fed_run fed_runs[some(counts.fed_runs)];
  fed_run_figures fed_figures[some(counts.fed_runs)];
  fed_run_profile fed_profiles[some(counts.fed_runs)];
  fed_point fed_feeds[some(counts.fed_points)];
  search_storage<2 * Runs + Feeds + Stretches, Parts> search{};

  constexpr plan_space space() noexcept {
    return {runs,
            hubs,
            outputs,
            drivers,
            order,
            pieces,
            connections,
            findings,
            readings,
            notes,
            figures,
            std::span<double>{network}.first(Network),
            scratch,
            std::span<tape_feed>{feeds}.first(Feeds),
            std::span<stretch_plan>{stretches}.first(Stretches),
            {std::span<run_stretch>{fed_stretches}.first(counts.fed_stretches),
             std::span<feed_point>{fed_points}.first(counts.fed_points),
             std::span<feed_current>{fed_currents}.first(counts.fed_points),
             std::span<fed_run>{fed_runs}.first(counts.fed_runs),
             std::span<fed_run_figures>{fed_figures}.first(counts.fed_runs),
             std::span<fed_run_profile>{fed_profiles}.first(counts.fed_runs),
             std::span<fed_point>{fed_feeds}.first(counts.fed_points)},
            search.space()};
  }
};

}  // namespace tapewright
