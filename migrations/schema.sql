CREATE FUNCTION public.announce_hike() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
DECLARE
    changed bigint := 0;
BEGIN
    IF TG_TABLE_NAME = 'hikes' THEN
        changed := CASE WHEN TG_OP = 'DELETE' THEN OLD.id ELSE NEW.id END;
    ELSIF TG_TABLE_NAME NOT IN ('trails', 'accounts') THEN
        changed := CASE WHEN TG_OP = 'DELETE' THEN OLD.hike_id ELSE NEW.hike_id END;
    END IF;
    PERFORM pg_notify('saltbush_roll', changed::text);
    RETURN NULL;
END
$$;
CREATE FUNCTION public.card_openings_stand() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'the openings of medical cards are appended to and never changed';
END
$$;
CREATE FUNCTION public.house_changes_stand() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'the history of the rules is appended to and never changed';
END
$$;
CREATE FUNCTION public.log_stands() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'this log is appended to and never changed';
END
$$;
CREATE FUNCTION public.note_roles() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    INSERT INTO audit_log (at, by_whom, what, about, note) VALUES (
        now(),
        coalesce(current_setting('saltbush.by', true), ''),
        'roles',
        NEW.name,
        CASE WHEN TG_OP = 'INSERT' THEN 'new account' ELSE coalesce(nullif(array_to_string(OLD.roles, ', '), ''), 'none') || CASE WHEN OLD.active THEN '' ELSE ' (not active)' END END
            || ' -> ' || coalesce(nullif(array_to_string(NEW.roles, ', '), ''), 'none') || CASE WHEN NEW.active THEN '' ELSE ' (not active)' END);
    RETURN NULL;
END
$$;
CREATE FUNCTION public.watch_log_stands() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'the log of a watch is appended to and never changed';
END
$$;
CREATE TABLE public.absences (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    from_day date NOT NULL,
    to_day date,
    weekdays integer[] NOT NULL,
    note text NOT NULL
);
ALTER TABLE public.absences ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.absences_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.accounts (
    id bigint NOT NULL,
    name text NOT NULL,
    email text NOT NULL,
    phone text DEFAULT ''::text NOT NULL,
    roles text[] DEFAULT '{}'::text[] NOT NULL,
    password_hash text DEFAULT ''::text NOT NULL,
    active boolean DEFAULT true NOT NULL,
    units text DEFAULT 'metric'::text NOT NULL,
    created timestamp with time zone NOT NULL,
    family_name text DEFAULT ''::text NOT NULL,
    family_phone text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.accounts ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.accounts_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.announcement_recipients (
    announcement_id bigint NOT NULL,
    signup_id uuid,
    link bytea NOT NULL,
    remind timestamp with time zone,
    reminder text NOT NULL,
    read timestamp with time zone,
    account_id bigint,
    CONSTRAINT announcement_recipients_one CHECK ((num_nonnulls(signup_id, account_id) = 1))
);
CREATE TABLE public.announcements (
    id bigint NOT NULL,
    hike_id bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    by_whom text NOT NULL,
    outcome text NOT NULL,
    words text NOT NULL,
    consent boolean NOT NULL,
    meet timestamp with time zone,
    trail text DEFAULT ''::text NOT NULL,
    stands text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.announcements ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.announcements_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.approvals (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    from_day date NOT NULL,
    level text NOT NULL,
    max_class text NOT NULL,
    endorsements text[] NOT NULL,
    status text NOT NULL,
    reason text NOT NULL,
    by text NOT NULL,
    written timestamp with time zone NOT NULL
);
ALTER TABLE public.approvals ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.approvals_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.audit_log (
    id bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    by_whom text NOT NULL,
    what text NOT NULL,
    about text NOT NULL,
    note text NOT NULL
);
CREATE TABLE public.card_openings (
    id uuid NOT NULL,
    hike_id bigint NOT NULL,
    signup_id uuid NOT NULL,
    by_whom text NOT NULL,
    ground text NOT NULL,
    reason bytea NOT NULL,
    at timestamp with time zone NOT NULL
);
CREATE TABLE public.deletions (
    id bigint NOT NULL,
    hike_id bigint,
    kind text NOT NULL,
    gone integer NOT NULL,
    at timestamp with time zone NOT NULL,
    by_whom text NOT NULL
);
CREATE TABLE public.hikes (
    id bigint NOT NULL,
    trail_id bigint NOT NULL,
    title text NOT NULL,
    notice text DEFAULT ''::text NOT NULL,
    meet timestamp with time zone NOT NULL,
    start timestamp with time zone NOT NULL,
    places integer NOT NULL,
    pace text NOT NULL,
    state text NOT NULL,
    on_call_name text DEFAULT ''::text NOT NULL,
    on_call_phone text DEFAULT ''::text NOT NULL,
    deputy_name text DEFAULT ''::text NOT NULL,
    deputy_phone text DEFAULT ''::text NOT NULL,
    forecast jsonb,
    decision jsonb,
    called_off_because text DEFAULT ''::text NOT NULL,
    created timestamp with time zone NOT NULL,
    on_call_email text DEFAULT ''::text NOT NULL,
    deputy_email text DEFAULT ''::text NOT NULL,
    on_call_accepted timestamp with time zone,
    closed timestamp with time zone,
    turn jsonb,
    changed jsonb,
    on_call_override jsonb,
    CONSTRAINT hikes_places_check CHECK ((places > 0))
);
CREATE TABLE public.house_changes (
    id bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    by_whom text NOT NULL,
    rule text NOT NULL,
    was text NOT NULL,
    now text NOT NULL,
    toward_risk boolean NOT NULL,
    reason text NOT NULL
);
CREATE VIEW public.audit AS
 SELECT audit_log.at,
    audit_log.by_whom,
    audit_log.what,
    audit_log.about,
    audit_log.note
   FROM public.audit_log
UNION ALL
 SELECT house_changes.at,
    house_changes.by_whom,
    'rule'::text AS what,
    house_changes.rule AS about,
    (((house_changes.was || ' -> '::text) || house_changes.now) ||
        CASE
            WHEN (house_changes.reason = ''::text) THEN ''::text
            ELSE (': '::text || house_changes.reason)
        END) AS note
   FROM public.house_changes
UNION ALL
 SELECT o.at,
    o.by_whom,
    'card opened'::text AS what,
    COALESCE(h.title, ''::text) AS about,
    o.ground AS note
   FROM (public.card_openings o
     LEFT JOIN public.hikes h ON ((h.id = o.hike_id)))
UNION ALL
 SELECT r.at,
    r.by_whom,
    'deleted'::text AS what,
    COALESCE(h.title, ''::text) AS about,
    ((r.kind || ': '::text) || r.gone) AS note
   FROM (public.deletions r
     LEFT JOIN public.hikes h ON ((h.id = r.hike_id)))
  WHERE (r.gone > 0);
ALTER TABLE public.audit_log ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.audit_log_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.calendar_entries (
    uid text NOT NULL,
    sequence integer DEFAULT 0 NOT NULL,
    digest bytea NOT NULL,
    changed timestamp with time zone NOT NULL,
    CONSTRAINT calendar_entries_sequence_check CHECK ((sequence >= 0))
);
CREATE TABLE public.calendar_feeds (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    hash bytea NOT NULL,
    name text NOT NULL,
    made timestamp with time zone NOT NULL,
    last_read timestamp with time zone
);
ALTER TABLE public.calendar_feeds ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.calendar_feeds_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.card_key (
    one boolean DEFAULT true NOT NULL,
    key_id bytea NOT NULL,
    CONSTRAINT card_key_one_check CHECK (one)
);
CREATE TABLE public.certificate_kinds (
    name text NOT NULL,
    leader boolean NOT NULL,
    sweep boolean NOT NULL,
    minors boolean NOT NULL,
    shared boolean NOT NULL,
    made bigint NOT NULL
);
ALTER TABLE public.certificate_kinds ALTER COLUMN made ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.certificate_kinds_made_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.certificates (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    kind text NOT NULL,
    issuer text NOT NULL,
    number text NOT NULL,
    through date,
    evidence text NOT NULL
);
ALTER TABLE public.certificates ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.certificates_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.closures (
    id bigint NOT NULL,
    trail_id bigint NOT NULL,
    from_day date NOT NULL,
    to_day date,
    why text NOT NULL,
    source text NOT NULL,
    blocks boolean NOT NULL,
    by_whom text NOT NULL,
    noted timestamp with time zone NOT NULL,
    CONSTRAINT closures_check CHECK (((to_day IS NULL) OR (to_day >= from_day)))
);
ALTER TABLE public.closures ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.closures_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.day_links (
    id bigint NOT NULL,
    hash bytea NOT NULL,
    hike_id bigint NOT NULL,
    name text NOT NULL,
    part text NOT NULL,
    made timestamp with time zone NOT NULL,
    made_by text NOT NULL,
    expires timestamp with time zone NOT NULL,
    last_used timestamp with time zone,
    withdrawn timestamp with time zone,
    CONSTRAINT day_links_part_check CHECK ((part = ANY (ARRAY['sweep'::text, 'on-call'::text])))
);
ALTER TABLE public.day_links ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.day_links_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.deletion_runs (
    day date NOT NULL,
    at timestamp with time zone NOT NULL,
    by_whom text NOT NULL
);
ALTER TABLE public.deletions ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.deletions_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.drives (
    from_trail bigint NOT NULL,
    to_trail bigint NOT NULL,
    minutes integer NOT NULL,
    CONSTRAINT drives_minutes_check CHECK ((minutes >= 0))
);
CREATE TABLE public.form_key (
    one boolean DEFAULT true NOT NULL,
    key bytea NOT NULL,
    CONSTRAINT form_key_one_check CHECK (one)
);
CREATE TABLE public.hike_staff (
    person uuid NOT NULL,
    hike_id bigint NOT NULL,
    account_id bigint NOT NULL,
    role text NOT NULL,
    answer text DEFAULT 'asked'::text NOT NULL,
    answered timestamp with time zone
);
ALTER TABLE public.hikes ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.hikes_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.house (
    one boolean DEFAULT true NOT NULL,
    organisation text NOT NULL,
    emergency text NOT NULL,
    zone text NOT NULL,
    rules jsonb DEFAULT '{}'::jsonb NOT NULL,
    CONSTRAINT house_one_check CHECK (one)
);
ALTER TABLE public.house_changes ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.house_changes_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.legal_holds (
    id bigint NOT NULL,
    hike_id bigint NOT NULL,
    because text NOT NULL,
    by_whom text NOT NULL,
    since timestamp with time zone NOT NULL,
    lifted timestamp with time zone,
    lifted_by text DEFAULT ''::text NOT NULL,
    lifted_because text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.legal_holds ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.legal_holds_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.links (
    hash bytea NOT NULL,
    purpose text NOT NULL,
    subject text NOT NULL,
    expires timestamp with time zone NOT NULL,
    used timestamp with time zone
);
CREATE TABLE public.mail_choices (
    address text NOT NULL,
    topic text NOT NULL,
    token text NOT NULL,
    stopped timestamp with time zone
);
CREATE TABLE public.medical_cards (
    signup_id uuid NOT NULL,
    hike_id bigint NOT NULL,
    key_id bytea NOT NULL,
    wrapped bytea NOT NULL,
    action bytea NOT NULL,
    body bytea NOT NULL,
    written timestamp with time zone NOT NULL
);
CREATE TABLE public.observed_hikes (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    day date NOT NULL,
    trail text NOT NULL,
    mentor text NOT NULL,
    skills text[] NOT NULL,
    result text NOT NULL,
    note text NOT NULL
);
ALTER TABLE public.observed_hikes ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.observed_hikes_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.outbox (
    id bigint NOT NULL,
    key text NOT NULL,
    recipient text NOT NULL,
    subject text NOT NULL,
    body text NOT NULL,
    attached jsonb DEFAULT '[]'::jsonb NOT NULL,
    state text NOT NULL,
    created timestamp with time zone NOT NULL,
    next_try timestamp with time zone NOT NULL,
    useless_at timestamp with time zone,
    sent timestamp with time zone,
    tries integer DEFAULT 0 NOT NULL,
    last_error text DEFAULT ''::text NOT NULL,
    channel text DEFAULT 'mail'::text NOT NULL,
    topic text DEFAULT ''::text NOT NULL,
    stop text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.outbox ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.outbox_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.passkeys (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    handle bytea NOT NULL,
    name text NOT NULL,
    credential jsonb NOT NULL,
    made timestamp with time zone NOT NULL,
    last_used timestamp with time zone
);
ALTER TABLE public.passkeys ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.passkeys_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.plans (
    id bigint NOT NULL,
    hike_id bigint NOT NULL,
    made timestamp with time zone NOT NULL,
    made_by text NOT NULL,
    model text NOT NULL,
    inputs jsonb NOT NULL,
    result jsonb NOT NULL
);
ALTER TABLE public.plans ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.plans_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.push_keys (
    one boolean DEFAULT true NOT NULL,
    private bytea NOT NULL,
    made timestamp with time zone NOT NULL,
    CONSTRAINT push_keys_one_check CHECK (one)
);
CREATE TABLE public.push_subscriptions (
    id bigint NOT NULL,
    account_id bigint NOT NULL,
    slot smallint NOT NULL,
    endpoint text NOT NULL,
    p256dh bytea NOT NULL,
    auth bytea NOT NULL,
    label text NOT NULL,
    made timestamp with time zone NOT NULL,
    ended timestamp with time zone,
    ended_why text DEFAULT ''::text NOT NULL,
    CONSTRAINT push_subscriptions_slot_check CHECK (((slot >= 1) AND (slot <= 5)))
);
ALTER TABLE public.push_subscriptions ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.push_subscriptions_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.rides (
    hike_id bigint NOT NULL,
    person uuid NOT NULL,
    shares timestamp with time zone,
    town text DEFAULT ''::text NOT NULL,
    car jsonb,
    told text DEFAULT ''::text NOT NULL,
    told_times integer DEFAULT 0 NOT NULL,
    CONSTRAINT rides_check CHECK (((shares IS NOT NULL) OR (town = ''::text)))
);
CREATE TABLE public.risk_texts (
    version text NOT NULL,
    text text NOT NULL,
    since timestamp with time zone NOT NULL
);
CREATE TABLE public.roll_events (
    id uuid NOT NULL,
    hike_id bigint NOT NULL,
    seq bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    recorded timestamp with time zone NOT NULL,
    body jsonb NOT NULL
);
ALTER TABLE public.roll_events ALTER COLUMN seq ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.roll_events_seq_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.scout_reports (
    id bigint NOT NULL,
    trail_id bigint NOT NULL,
    walked date NOT NULL,
    by_whom text NOT NULL,
    times text NOT NULL,
    conditions text NOT NULL,
    hazards text NOT NULL,
    noted timestamp with time zone NOT NULL
);
ALTER TABLE public.scout_reports ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.scout_reports_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.sessions (
    token text NOT NULL,
    data bytea NOT NULL,
    expiry timestamp with time zone NOT NULL
);
CREATE TABLE public.shuttles (
    hike_id bigint NOT NULL,
    end_lot text DEFAULT ''::text NOT NULL,
    minutes integer DEFAULT 0 NOT NULL,
    by_whom text DEFAULT ''::text NOT NULL,
    at timestamp with time zone,
    opened timestamp with time zone,
    CONSTRAINT shuttles_minutes_check CHECK (((minutes >= 0) AND (minutes <= 240)))
);
CREATE TABLE public.sign_ins (
    id uuid NOT NULL,
    account_id bigint NOT NULL,
    began timestamp with time zone NOT NULL,
    last_seen timestamp with time zone NOT NULL,
    device text NOT NULL,
    network text NOT NULL,
    second boolean DEFAULT false NOT NULL
);
CREATE TABLE public.signups (
    id uuid NOT NULL,
    hike_id bigint NOT NULL,
    asked_order bigint NOT NULL,
    state text NOT NULL,
    name text NOT NULL,
    email text NOT NULL,
    mobile text NOT NULL,
    emergency_name text NOT NULL,
    emergency_phone text NOT NULL,
    longest_walk text NOT NULL,
    hot_days integer NOT NULL,
    water_l double precision NOT NULL,
    minor boolean NOT NULL,
    guardian text DEFAULT ''::text NOT NULL,
    guardian_phone text DEFAULT ''::text NOT NULL,
    unsealed_needs text DEFAULT ''::text NOT NULL,
    because text DEFAULT ''::text NOT NULL,
    acknowledged boolean NOT NULL,
    asked timestamp with time zone NOT NULL,
    link bytea NOT NULL,
    car_plate text DEFAULT ''::text NOT NULL,
    car_make text DEFAULT ''::text NOT NULL,
    car_colour text DEFAULT ''::text NOT NULL,
    car_seats integer DEFAULT 0 NOT NULL,
    car_lot text DEFAULT ''::text NOT NULL,
    adult text DEFAULT ''::text NOT NULL,
    self_report jsonb DEFAULT '{}'::jsonb NOT NULL,
    screening jsonb DEFAULT '{}'::jsonb NOT NULL,
    held_until timestamp with time zone,
    contact_email text DEFAULT ''::text NOT NULL,
    contact_asked timestamp with time zone,
    contact_confirmed timestamp with time zone,
    consented timestamp with time zone,
    risk_version text DEFAULT ''::text NOT NULL,
    risk_accepted timestamp with time zone,
    no_show boolean DEFAULT false NOT NULL,
    imported_by text DEFAULT ''::text NOT NULL,
    adult_id uuid,
    CONSTRAINT signups_car_seats_check CHECK (((car_seats >= 0) AND (car_seats <= 20)))
);
ALTER TABLE public.signups ALTER COLUMN asked_order ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.signups_asked_order_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.staff_declines (
    hike_id bigint NOT NULL,
    account_id bigint,
    role text NOT NULL,
    because text NOT NULL,
    at timestamp with time zone NOT NULL,
    name text DEFAULT ''::text NOT NULL
);
CREATE TABLE public.trail_normals (
    trail_id bigint NOT NULL,
    normals jsonb NOT NULL,
    source text DEFAULT ''::text NOT NULL,
    typed timestamp with time zone NOT NULL,
    typed_by text NOT NULL
);
CREATE TABLE public.trail_points (
    id bigint NOT NULL,
    trail_id bigint NOT NULL,
    kind text NOT NULL,
    name text NOT NULL,
    along_m double precision NOT NULL,
    note text DEFAULT ''::text NOT NULL,
    water_seen date
);
ALTER TABLE public.trail_points ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.trail_points_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.trail_uploads (
    trail_id bigint NOT NULL,
    gpx bytea NOT NULL
);
CREATE TABLE public.trails (
    id bigint NOT NULL,
    name text NOT NULL,
    summary text DEFAULT ''::text NOT NULL,
    zone text NOT NULL,
    surface text NOT NULL,
    meeting text DEFAULT ''::text NOT NULL,
    manager text DEFAULT ''::text NOT NULL,
    permit_cap integer DEFAULT 0 NOT NULL,
    signal text DEFAULT ''::text NOT NULL,
    profile bytea NOT NULL,
    shape text NOT NULL,
    heights boolean NOT NULL,
    length_m double precision NOT NULL,
    ascent_m double precision NOT NULL,
    descent_m double precision NOT NULL,
    lowest_m double precision NOT NULL,
    highest_m double precision NOT NULL,
    steepest double precision NOT NULL,
    created timestamp with time zone NOT NULL,
    permit_staff boolean DEFAULT true NOT NULL,
    permit_number text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.trails ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.trails_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.two_steps (
    account_id bigint NOT NULL,
    asked timestamp with time zone,
    key bytea,
    since timestamp with time zone,
    last_step bigint DEFAULT 0 NOT NULL,
    wrong integer DEFAULT 0 NOT NULL,
    until timestamp with time zone,
    recovery bytea[] DEFAULT '{}'::bytea[] NOT NULL
);
CREATE TABLE public.waivers (
    person uuid NOT NULL,
    hike_id bigint NOT NULL,
    name text NOT NULL,
    minor boolean NOT NULL,
    guardian text NOT NULL,
    consented timestamp with time zone,
    risk_version text NOT NULL,
    risk_accepted timestamp with time zone,
    expires timestamp with time zone NOT NULL
);
CREATE TABLE public.watch_log (
    id bigint NOT NULL,
    hike_id bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    kind text NOT NULL,
    by_whom text DEFAULT ''::text NOT NULL,
    note text DEFAULT ''::text NOT NULL,
    step text DEFAULT ''::text NOT NULL,
    round integer DEFAULT 0 NOT NULL,
    due timestamp with time zone,
    late_by interval DEFAULT '00:00:00'::interval NOT NULL,
    recipient text DEFAULT ''::text NOT NULL,
    channel text DEFAULT ''::text NOT NULL,
    outcome text DEFAULT ''::text NOT NULL,
    ref text DEFAULT ''::text NOT NULL
);
ALTER TABLE public.watch_log ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME public.watch_log_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);
CREATE TABLE public.watch_pulse (
    one boolean DEFAULT true NOT NULL,
    passed timestamp with time zone NOT NULL,
    by_whom text NOT NULL,
    failed integer NOT NULL,
    CONSTRAINT watch_pulse_one_check CHECK (one)
);
CREATE TABLE public.watch_rungs (
    hike_id bigint NOT NULL,
    step text NOT NULL,
    round integer DEFAULT 1 NOT NULL,
    planned timestamp with time zone NOT NULL,
    look timestamp with time zone NOT NULL,
    state text DEFAULT 'waiting'::text NOT NULL,
    fired timestamp with time zone,
    trouble text DEFAULT ''::text NOT NULL,
    CONSTRAINT watch_rungs_state_check CHECK ((state = ANY (ARRAY['waiting'::text, 'fired'::text, 'ended'::text])))
);
ALTER TABLE ONLY public.absences
    ADD CONSTRAINT absences_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.accounts
    ADD CONSTRAINT accounts_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.audit_log
    ADD CONSTRAINT audit_log_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.calendar_entries
    ADD CONSTRAINT calendar_entries_pkey PRIMARY KEY (uid);
ALTER TABLE ONLY public.calendar_feeds
    ADD CONSTRAINT calendar_feeds_hash_key UNIQUE (hash);
ALTER TABLE ONLY public.calendar_feeds
    ADD CONSTRAINT calendar_feeds_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.card_key
    ADD CONSTRAINT card_key_pkey PRIMARY KEY (one);
ALTER TABLE ONLY public.card_openings
    ADD CONSTRAINT card_openings_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.certificate_kinds
    ADD CONSTRAINT certificate_kinds_pkey PRIMARY KEY (name);
ALTER TABLE ONLY public.certificates
    ADD CONSTRAINT certificates_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.closures
    ADD CONSTRAINT closures_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.day_links
    ADD CONSTRAINT day_links_hash_key UNIQUE (hash);
ALTER TABLE ONLY public.day_links
    ADD CONSTRAINT day_links_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.drives
    ADD CONSTRAINT drives_pkey PRIMARY KEY (from_trail, to_trail);
ALTER TABLE ONLY public.form_key
    ADD CONSTRAINT form_key_pkey PRIMARY KEY (one);
ALTER TABLE ONLY public.hike_staff
    ADD CONSTRAINT hike_staff_hike_id_account_id_key UNIQUE (hike_id, account_id);
ALTER TABLE ONLY public.hike_staff
    ADD CONSTRAINT hike_staff_pkey PRIMARY KEY (person);
ALTER TABLE ONLY public.hikes
    ADD CONSTRAINT hikes_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.house_changes
    ADD CONSTRAINT house_changes_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.house
    ADD CONSTRAINT house_pkey PRIMARY KEY (one);
ALTER TABLE ONLY public.legal_holds
    ADD CONSTRAINT legal_holds_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.links
    ADD CONSTRAINT links_pkey PRIMARY KEY (hash);
ALTER TABLE ONLY public.mail_choices
    ADD CONSTRAINT mail_choices_pkey PRIMARY KEY (address, topic);
ALTER TABLE ONLY public.mail_choices
    ADD CONSTRAINT mail_choices_token_key UNIQUE (token);
ALTER TABLE ONLY public.medical_cards
    ADD CONSTRAINT medical_cards_pkey PRIMARY KEY (signup_id);
ALTER TABLE ONLY public.observed_hikes
    ADD CONSTRAINT observed_hikes_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.outbox
    ADD CONSTRAINT outbox_key_key UNIQUE (key);
ALTER TABLE ONLY public.outbox
    ADD CONSTRAINT outbox_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.passkeys
    ADD CONSTRAINT passkeys_handle_key UNIQUE (handle);
ALTER TABLE ONLY public.passkeys
    ADD CONSTRAINT passkeys_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.push_keys
    ADD CONSTRAINT push_keys_pkey PRIMARY KEY (one);
ALTER TABLE ONLY public.push_subscriptions
    ADD CONSTRAINT push_subscriptions_endpoint_key UNIQUE (endpoint);
ALTER TABLE ONLY public.push_subscriptions
    ADD CONSTRAINT push_subscriptions_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.deletions
    ADD CONSTRAINT retirements_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.deletion_runs
    ADD CONSTRAINT retiring_days_pkey PRIMARY KEY (day);
ALTER TABLE ONLY public.rides
    ADD CONSTRAINT rides_pkey PRIMARY KEY (hike_id, person);
ALTER TABLE ONLY public.risk_texts
    ADD CONSTRAINT risk_texts_pkey PRIMARY KEY (version);
ALTER TABLE ONLY public.roll_events
    ADD CONSTRAINT roll_events_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.scout_reports
    ADD CONSTRAINT scout_reports_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.sessions
    ADD CONSTRAINT sessions_pkey PRIMARY KEY (token);
ALTER TABLE ONLY public.shuttles
    ADD CONSTRAINT shuttles_pkey PRIMARY KEY (hike_id);
ALTER TABLE ONLY public.sign_ins
    ADD CONSTRAINT sign_ins_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.signups
    ADD CONSTRAINT signups_link_key UNIQUE (link);
ALTER TABLE ONLY public.signups
    ADD CONSTRAINT signups_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.approvals
    ADD CONSTRAINT standings_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.announcements
    ADD CONSTRAINT tellings_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_link_key UNIQUE (link);
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_place UNIQUE (announcement_id, signup_id);
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_staff UNIQUE (announcement_id, account_id);
ALTER TABLE ONLY public.trail_normals
    ADD CONSTRAINT trail_normals_pkey PRIMARY KEY (trail_id);
ALTER TABLE ONLY public.trail_points
    ADD CONSTRAINT trail_points_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.trail_uploads
    ADD CONSTRAINT trail_uploads_pkey PRIMARY KEY (trail_id);
ALTER TABLE ONLY public.trails
    ADD CONSTRAINT trails_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.two_steps
    ADD CONSTRAINT two_steps_pkey PRIMARY KEY (account_id);
ALTER TABLE ONLY public.waivers
    ADD CONSTRAINT waivers_pkey PRIMARY KEY (person);
ALTER TABLE ONLY public.watch_log
    ADD CONSTRAINT watch_log_pkey PRIMARY KEY (id);
ALTER TABLE ONLY public.watch_pulse
    ADD CONSTRAINT watch_pulse_pkey PRIMARY KEY (one);
ALTER TABLE ONLY public.watch_rungs
    ADD CONSTRAINT watch_rungs_pkey PRIMARY KEY (hike_id, step);
CREATE INDEX absences_account ON public.absences USING btree (account_id);
CREATE UNIQUE INDEX accounts_email ON public.accounts USING btree (lower(email));
CREATE INDEX calendar_feeds_account ON public.calendar_feeds USING btree (account_id);
CREATE INDEX card_openings_at ON public.card_openings USING btree (at DESC);
CREATE INDEX card_openings_signup ON public.card_openings USING btree (signup_id, at DESC);
CREATE INDEX certificates_account ON public.certificates USING btree (account_id);
CREATE INDEX closures_trail ON public.closures USING btree (trail_id, from_day);
CREATE INDEX day_links_hike ON public.day_links USING btree (hike_id, id);
CREATE INDEX hikes_start ON public.hikes USING btree (start);
CREATE INDEX hikes_state ON public.hikes USING btree (state);
CREATE UNIQUE INDEX legal_holds_standing ON public.legal_holds USING btree (hike_id) WHERE (lifted IS NULL);
CREATE INDEX medical_cards_hike ON public.medical_cards USING btree (hike_id);
CREATE INDEX observed_hikes_account ON public.observed_hikes USING btree (account_id);
CREATE INDEX outbox_due ON public.outbox USING btree (channel, next_try) WHERE (state = 'queued'::text);
CREATE INDEX passkeys_account ON public.passkeys USING btree (account_id, id);
CREATE INDEX plans_hike ON public.plans USING btree (hike_id, id DESC);
CREATE UNIQUE INDEX push_subscriptions_slot ON public.push_subscriptions USING btree (account_id, slot) WHERE (ended IS NULL);
CREATE INDEX retirements_at ON public.deletions USING btree (at DESC);
CREATE UNIQUE INDEX retirements_once ON public.deletions USING btree (hike_id, kind) WHERE (kind <> ALL (ARRAY['waivers'::text, 'messages'::text, 'own data'::text]));
CREATE INDEX roll_events_at ON public.roll_events USING btree (at);
CREATE INDEX roll_events_hike ON public.roll_events USING btree (hike_id, seq);
CREATE INDEX scout_reports_trail ON public.scout_reports USING btree (trail_id, walked DESC);
CREATE INDEX sessions_expiry ON public.sessions USING btree (expiry);
CREATE INDEX sign_ins_account ON public.sign_ins USING btree (account_id, last_seen);
CREATE INDEX signups_hike ON public.signups USING btree (hike_id, asked_order);
CREATE INDEX staff_declines_hike ON public.staff_declines USING btree (hike_id);
CREATE INDEX standings_account ON public.approvals USING btree (account_id);
CREATE INDEX tellings_hike ON public.announcements USING btree (hike_id, id DESC);
CREATE INDEX told_signup ON public.announcement_recipients USING btree (signup_id);
CREATE INDEX trail_points_trail ON public.trail_points USING btree (trail_id, along_m);
CREATE INDEX waivers_goes ON public.waivers USING btree (expires);
CREATE INDEX watch_log_at ON public.watch_log USING btree (at);
CREATE INDEX watch_log_hike ON public.watch_log USING btree (hike_id, id);
CREATE UNIQUE INDEX watch_log_once ON public.watch_log USING btree (hike_id, step, round, recipient) WHERE (kind = 'step'::text);
CREATE INDEX watch_rungs_look ON public.watch_rungs USING btree (look) WHERE (state = 'waiting'::text);
CREATE TRIGGER announce_hike AFTER UPDATE OF name, email, phone ON public.accounts FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR DELETE OR UPDATE ON public.hike_staff FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR DELETE OR UPDATE ON public.hikes FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR DELETE OR UPDATE ON public.medical_cards FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON public.plans FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON public.roll_events FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR DELETE OR UPDATE ON public.signups FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER UPDATE ON public.trails FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON public.watch_log FOR EACH ROW EXECUTE FUNCTION public.announce_hike();
CREATE TRIGGER audit_log_stands BEFORE DELETE OR UPDATE OR TRUNCATE ON public.audit_log FOR EACH STATEMENT EXECUTE FUNCTION public.log_stands();
CREATE TRIGGER card_openings_stand BEFORE DELETE OR UPDATE OR TRUNCATE ON public.card_openings FOR EACH STATEMENT EXECUTE FUNCTION public.card_openings_stand();
CREATE TRIGGER house_changes_stand BEFORE DELETE OR UPDATE ON public.house_changes FOR EACH ROW EXECUTE FUNCTION public.house_changes_stand();
CREATE TRIGGER note_new_roles AFTER INSERT ON public.accounts FOR EACH ROW EXECUTE FUNCTION public.note_roles();
CREATE TRIGGER note_roles AFTER UPDATE ON public.accounts FOR EACH ROW WHEN (((old.roles IS DISTINCT FROM new.roles) OR (old.active <> new.active))) EXECUTE FUNCTION public.note_roles();
CREATE TRIGGER retirements_stand BEFORE DELETE OR UPDATE OR TRUNCATE ON public.deletions FOR EACH STATEMENT EXECUTE FUNCTION public.log_stands();
CREATE TRIGGER watch_log_stands BEFORE UPDATE ON public.watch_log FOR EACH ROW EXECUTE FUNCTION public.watch_log_stands();
ALTER TABLE ONLY public.absences
    ADD CONSTRAINT absences_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.calendar_feeds
    ADD CONSTRAINT calendar_feeds_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.certificates
    ADD CONSTRAINT certificates_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.closures
    ADD CONSTRAINT closures_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.day_links
    ADD CONSTRAINT day_links_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.drives
    ADD CONSTRAINT drives_from_trail_fkey FOREIGN KEY (from_trail) REFERENCES public.trails(id);
ALTER TABLE ONLY public.drives
    ADD CONSTRAINT drives_to_trail_fkey FOREIGN KEY (to_trail) REFERENCES public.trails(id);
ALTER TABLE ONLY public.hike_staff
    ADD CONSTRAINT hike_staff_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.hike_staff
    ADD CONSTRAINT hike_staff_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.hikes
    ADD CONSTRAINT hikes_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id);
ALTER TABLE ONLY public.legal_holds
    ADD CONSTRAINT legal_holds_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id);
ALTER TABLE ONLY public.medical_cards
    ADD CONSTRAINT medical_cards_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.medical_cards
    ADD CONSTRAINT medical_cards_signup_id_fkey FOREIGN KEY (signup_id) REFERENCES public.signups(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.observed_hikes
    ADD CONSTRAINT observed_hikes_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.passkeys
    ADD CONSTRAINT passkeys_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.push_subscriptions
    ADD CONSTRAINT push_subscriptions_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.rides
    ADD CONSTRAINT rides_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.roll_events
    ADD CONSTRAINT roll_events_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.scout_reports
    ADD CONSTRAINT scout_reports_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.shuttles
    ADD CONSTRAINT shuttles_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.sign_ins
    ADD CONSTRAINT sign_ins_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.signups
    ADD CONSTRAINT signups_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.staff_declines
    ADD CONSTRAINT staff_declines_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.staff_declines
    ADD CONSTRAINT staff_declines_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.approvals
    ADD CONSTRAINT standings_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.announcements
    ADD CONSTRAINT tellings_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id);
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_signup_id_fkey FOREIGN KEY (signup_id) REFERENCES public.signups(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.announcement_recipients
    ADD CONSTRAINT told_telling_id_fkey FOREIGN KEY (announcement_id) REFERENCES public.announcements(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.trail_normals
    ADD CONSTRAINT trail_normals_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.trail_points
    ADD CONSTRAINT trail_points_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.trail_uploads
    ADD CONSTRAINT trail_uploads_trail_id_fkey FOREIGN KEY (trail_id) REFERENCES public.trails(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.two_steps
    ADD CONSTRAINT two_steps_account_id_fkey FOREIGN KEY (account_id) REFERENCES public.accounts(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.watch_log
    ADD CONSTRAINT watch_log_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.watch_rungs
    ADD CONSTRAINT watch_rungs_hike_id_fkey FOREIGN KEY (hike_id) REFERENCES public.hikes(id) ON DELETE CASCADE;
