-- What the version before step 00036 stored: a season's worth of small rows, at least one in
-- every table, written through the store of that version and dumped once. It is not made anew.
INSERT INTO public.accounts (id, name, email, phone, roles, password_hash, active, units, created) OVERRIDING SYSTEM VALUE VALUES
	(1, 'Ines Calder', 'ines@example.org', '', '{leader}', '', true, 'metric', '2026-04-01 12:00:00+00'),
	(2, 'Juniper Vale', 'juniper@example.org', '', '{leader}', '', true, 'metric', '2026-04-01 12:00:00+00');
INSERT INTO public.absences (id, account_id, from_day, to_day, weekdays, note) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, '2026-05-01', '2026-05-11', '{}', 'family');
INSERT INTO public.audit_log (id, at, by_whom, what, about, note) OVERRIDING SYSTEM VALUE VALUES
	(1, '2026-12-01 01:22:14.266203+00', 'set by itself when the hike was closed', 'hold set', 'Dry Fork at dawn', 'On this hike help was asked for.'),
	(2, '2026-12-01 01:22:14.289266+00', '', 'roles', 'Ines Calder', 'new account -> leader'),
	(3, '2026-12-01 01:22:14.291456+00', '', 'roles', 'Juniper Vale', 'new account -> leader'),
	(4, '2026-04-01 12:00:00+00', 'Juniper Vale', 'export', 'sign-ups', 'Dry Fork at dawn');
INSERT INTO public.calendar_entries (uid, sequence, digest, changed) VALUES
	('hike-2@example.org', 0, '\xf7e614f473c0ed2fdd35d1713f51f9deeef3b3cbe9452dc5438b49e7ceb08611', '2026-04-01 12:00:00+00');
INSERT INTO public.calendar_feeds (id, account_id, hash, name, made, last_read) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, '\x5c54216b306865519d8452866b7955ab7177d1e25e27213f31f849f821221783', 'Phone', '2026-04-01 12:00:00+00', NULL);
INSERT INTO public.card_key (one, key_id) VALUES
	(true, '\x15dcfd3687e1ab64');
INSERT INTO public.card_openings (id, hike_id, signup_id, by_whom, ground, reason, at) VALUES
	('d2327d2c-8607-4294-9de4-0b75c38c6f2d', 2, 'c6892539-a309-443e-a6b0-4a734bcf6aa7', 'Ines Calder', 'leader on the day', '\x46827926a5f7fd79127e91540460301e274994889379d58a1c496b32a76b1b9b831e5780a640e59d2f9c6547ec11b4f3982072432c6bec19ad98bc8a9af496d8168adcc52e27a0c33941cff3340f6580e374998583d39d4f34b07a6368f250abd56032b2593f774eb18a49f60237968ae569efcb68dde75524263cff9a6c2bf12366541f38a54d5f2eba3648a5f05539a42d2dea9774100c4d8e51d9785f781e8423d249a61ea0cea2e9f459a1b57efcebf91fc453d223da289b86068460ad4f1d905f756c4d55e1a469c695ef6af9f53076275d2f3443dd528b6c20353c75776eaf2b6a1b1bbe2135549de91400f8d4b53c900127f5a5adf6dfa0a0d9c8f54dc6ce9c86d114290da26a69ffb25826ff9f62f6be59706a5ce5e8d1cb', '2026-04-01 12:00:00+00');
INSERT INTO public.certificate_kinds (name, leader, sweep, minors, shared, made) OVERRIDING SYSTEM VALUE VALUES
	('wilderness first aid', true, false, false, true, 1),
	('CPR', true, true, false, false, 2),
	('youth safety', true, true, true, false, 3),
	('leader agreement', true, false, false, false, 4);
INSERT INTO public.certificates (id, account_id, kind, issuer, number, through, evidence) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, 'CPR', 'Sill Basin Rescue School', 'A-12', '2026-05-01', 'copy on file');
INSERT INTO public.trails (id, name, summary, zone, surface, meeting, manager, permit_cap, signal, profile, shape, heights, length_m, ascent_m, descent_m, lowest_m, highest_m, steepest, created, permit_staff, permit_number) OVERRIDING SYSTEM VALUE VALUES
	(1, 'Dry Fork', '', 'America/Phoenix', 'firm', '', '', 0, '', '\x612070726f66696c652c207061636b6564', 'out-and-back', true, 2196.06, 99, 99, 600, 699, 0.09016230838593298, '2026-04-01 12:00:00+00', true, ''),
	(2, 'Dry Fork', '', 'America/Phoenix', 'firm', '', '', 0, '', '\x612070726f66696c652c207061636b6564', 'out-and-back', true, 2196.06, 99, 99, 600, 699, 0.09016230838593298, '2026-04-01 12:00:00+00', true, ''),
	(3, 'Dry Fork', '', 'America/Phoenix', 'firm', '', '', 0, '', '\x612070726f66696c652c207061636b6564', 'out-and-back', true, 2196.06, 99, 99, 600, 699, 0.09016230838593298, '2026-04-01 12:00:00+00', true, '');
INSERT INTO public.closures (id, trail_id, from_day, to_day, why, source, blocks, by_whom, noted) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-05-31', NULL, 'fire restrictions', 'the district', true, 'Ines Calder', '2026-04-01 12:00:00+00');
INSERT INTO public.hikes (id, trail_id, title, notice, meet, start, places, pace, state, on_call_name, on_call_phone, deputy_name, deputy_phone, forecast, decision, called_off_because, created, on_call_email, deputy_email, on_call_accepted, closed) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, 'Dry Fork at dawn', '', '2026-04-04 11:30:00+00', '2026-04-04 12:00:00+00', 2, 'ordinary', 'closed', '', '', '', '', NULL, NULL, '', '2026-04-01 12:00:00+00', '', '', NULL, '2026-04-04 21:00:00+00'),
	(2, 2, 'Dry Fork at dawn', '', '2026-04-04 11:30:00+00', '2026-04-04 12:00:00+00', 6, 'ordinary', 'out', '', '', '', '', NULL, '{"At": "2026-04-01T12:00:00Z", "By": "Ines Calder", "Go": true, "Reason": "", "Outcome": "go"}', '', '2026-04-01 12:00:00+00', '', '', NULL, NULL),
	(3, 3, 'Dry Fork at dawn', '', '2026-04-04 11:30:00+00', '2026-04-04 12:00:00+00', 3, 'ordinary', 'closed', '', '', '', '', NULL, NULL, '', '2026-04-01 12:00:00+00', '', '', NULL, '2025-02-28 12:00:00+00');
INSERT INTO public.day_links (id, hash, hike_id, name, part, made, made_by, expires, last_used, withdrawn) OVERRIDING SYSTEM VALUE VALUES
	(1, '\x78', 1, 'planted-cont sweep', 'sweep', '2026-04-01 12:00:00+00', 'x', '2026-04-01 12:00:00+00', NULL, NULL),
	(2, '\x5c54216b306865519d8452866b7955ab7177d1e25e27213f31f849f821221783', 2, 'Juniper Vale', 'sweep', '2026-04-01 12:00:00+00', 'Ines Calder', '2026-04-04 12:00:00+00', NULL, NULL);
INSERT INTO public.drives (from_trail, to_trail, minutes) VALUES
	(2, 1, 40);
INSERT INTO public.form_key (one, key) VALUES
	(true, '\x6b6579');
INSERT INTO public.hike_staff (person, hike_id, account_id, role, answer, answered) VALUES
	('a6eadc8a-4a34-43cf-a0ef-8546c2c2357e', 2, 1, 'leader', 'accepted', '2026-04-01 12:00:00+00'),
	('4fc81306-39dc-4012-ada6-8b856e837d35', 2, 2, 'sweep', 'asked', NULL);
INSERT INTO public.house (one, organisation, emergency, zone, rules) VALUES
	(true, 'Dry Fork Walkers', '911', 'America/Phoenix', '{"ratio": 6}');
INSERT INTO public.house_changes (id, at, by_whom, rule, was, now, toward_risk, reason) OVERRIDING SYSTEM VALUE VALUES
	(1, '2026-04-01 12:00:00+00', 'Juniper Vale', 'ratio', '8 people', '6 people', false, 'a hot season');
INSERT INTO public.legal_holds (id, hike_id, because, by_whom, since, lifted, lifted_by, lifted_because) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, 'On this hike help was asked for.', 'set by itself when the hike was closed', '2026-12-01 01:22:14.266203+00', NULL, '', '');
INSERT INTO public.links (hash, purpose, subject, expires, used) VALUES
	('\x706c616e746564', 'place', '22ec1fd6-34ca-447a-9140-5218eb4d65a5', '2026-04-01 12:00:00+00', NULL),
	('\x5c54216b306865519d8452866b7955ab7177d1e25e27213f31f849f821221783', 'invitation', '1', 'infinity', NULL);
INSERT INTO public.mail_choices (address, topic, token, stopped) VALUES
	('w10@example.org', 'certificates', 'b33afivcdgfvokiim3fc4bibgqqe53s7', NULL);
INSERT INTO public.signups (id, hike_id, asked_order, state, name, email, mobile, emergency_name, emergency_phone, longest_walk, hot_days, water_l, minor, guardian, guardian_phone, unsealed_needs, because, acknowledged, asked, link, car_plate, car_make, car_colour, car_seats, car_lot, adult, told, screening, held_until, contact_email, contact_asked, contact_confirmed, consented, risk_version, risk_accepted, no_show, brought_by) OVERRIDING SYSTEM VALUE VALUES
	('22ec1fd6-34ca-447a-9140-5218eb4d65a5', 1, 1, 'confirmed', 'planted-name name', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 0, 0, false, 'planted-name guardian', 'planted-cont', '', 'planted-cont', true, '2026-04-01 12:00:00+00', '\x22ec1fd634ca447a91405218eb4d65a5', 'planted-plat', 'planted-plat', 'planted-plat', 3, 'planted-plat', 'planted-name name', '{"x": "planted-cont"}', '{"x": "planted-cont"}', NULL, 'planted-cont', NULL, NULL, NULL, 'v1', '2026-04-01 12:00:00+00', false, ''),
	('30170d3f-9b57-432a-816b-12a7820590ef', 1, 2, 'confirmed', 'planted-name name', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 0, 0, true, 'planted-name guardian', 'planted-cont', '', 'planted-cont', true, '2026-04-01 12:00:00+00', '\x30170d3f9b57432a816b12a7820590ef', 'planted-plat', 'planted-plat', 'planted-plat', 3, 'planted-plat', 'planted-name name', '{"x": "planted-cont"}', '{"x": "planted-cont"}', NULL, 'planted-cont', NULL, NULL, NULL, 'v1', '2026-04-01 12:00:00+00', false, ''),
	('d6189f04-6716-4bf2-9e8b-83251df097bc', 1, 3, 'waiting', 'planted-name name', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 'planted-cont', 0, 0, false, 'planted-name guardian', 'planted-cont', '', 'planted-cont', true, '2026-04-01 12:00:00+00', '\xd6189f0467164bf29e8b83251df097bc', 'planted-plat', 'planted-plat', 'planted-plat', 3, 'planted-plat', 'planted-name name', '{"x": "planted-cont"}', '{"x": "planted-cont"}', NULL, 'planted-cont', NULL, NULL, NULL, 'v1', '2026-04-01 12:00:00+00', false, ''),
	('c6892539-a309-443e-a6b0-4a734bcf6aa7', 2, 4, 'confirmed', 'Amaya Reyes', 'w10@example.org', '', '', '', '', 0, 0, false, '', '', '', '', true, '2026-04-01 12:00:00+00', '\xc6892539a309443ea6b04a734bcf6aa7', '', '', '', 0, '', '', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, NULL, '1a2b3c4d', '2026-04-01 12:00:00+00', false, ''),
	('b5501ada-b329-4270-94ba-d80ca769b186', 2, 5, 'confirmed', 'Bo Reyes', 'w11@example.org', '', '', '', '', 0, 0, true, 'Berit Holt', '+1 928-555-0101', '', '', true, '2026-04-01 12:00:00+00', '\xb5501adab329427094bad80ca769b186', '', '', '', 0, '', 'amaya  REYES', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, '2026-04-01 12:00:00+00', '1a2b3c4d', '2026-04-01 12:00:00+00', false, 'Juniper Vale'),
	('222118b3-77a3-4554-9226-9838b06f4632', 2, 6, 'confirmed', 'Cleo Dunn', 'w12@example.org', '', '', '', '', 0, 0, true, 'Berit Holt', '+1 928-555-0101', '', '', true, '2026-04-01 12:00:00+00', '\x222118b377a3455492269838b06f4632', '', '', '', 0, '', 'Ines Calder', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, '2026-04-01 12:00:00+00', '1a2b3c4d', '2026-04-01 12:00:00+00', false, 'Juniper Vale'),
	('f8d6b4ca-1d7e-40f1-8658-29e493f58f0b', 2, 7, 'confirmed', 'Teo Marsh', 'w13@example.org', '', '', '', '', 0, 0, false, '', '', '', '', true, '2026-04-01 12:00:00+00', '\xf8d6b4ca1d7e40f1865829e493f58f0b', '', '', '', 0, '', '', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, NULL, '1a2b3c4d', '2026-04-01 12:00:00+00', false, ''),
	('33cc596b-b6a8-4121-b5fc-0df12303ce55', 2, 8, 'confirmed', 'Teo Marsh', 'w14@example.org', '', '', '', '', 0, 0, false, '', '', '', '', true, '2026-04-01 12:00:00+00', '\x33cc596bb6a84121b5fc0df12303ce55', '', '', '', 0, '', '', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, NULL, '1a2b3c4d', '2026-04-01 12:00:00+00', false, ''),
	('b326cb52-888e-47f1-8eff-486d3c12e7a9', 2, 9, 'confirmed', 'Dana Marsh', 'w15@example.org', '', '', '', '', 0, 0, true, 'Berit Holt', '+1 928-555-0101', '', '', true, '2026-04-01 12:00:00+00', '\xb326cb52888e47f18eff486d3c12e7a9', '', '', '', 0, '', 'Teo Marsh', '{"from": "Salt Ford", "walk": {"Took": 10800000000000, "Ascent": 300, "Distance": 8000}, "shoes": "boots", "hot_before": true}', '{}', NULL, '', NULL, NULL, '2026-04-01 12:00:00+00', '1a2b3c4d', '2026-04-01 12:00:00+00', false, 'Juniper Vale'),
	('9539f825-130d-4dd0-bf89-64e6852cd7ba', 2, 10, 'turned away', 'Walker 016', 'w16@example.org', '', '', '', '', 0, 0, false, '', '', '', 'Too far yet.', false, '2026-04-01 12:00:00+00', '\x9539f825130d4dd0bf8964e6852cd7ba', '', '', '', 0, '', '', '{"walk": {"Took": 0, "Ascent": 0, "Distance": 0}}', '{"by": "Ines Calder", "talk": ["The heat of this area is new to them."], "reason": "Too far yet.", "outcome": "declined", "criterion": "has walked 60 % of this distance and climb in the last eight weeks"}', NULL, '', NULL, NULL, NULL, '', NULL, false, ''),
	('e559d176-5987-492f-9f50-c4606d2e742f', 3, 11, 'confirmed', 'Participant 1', '', '', '', '', '', 0, 0, false, '', '', '', '', true, '2026-04-01 12:00:00+00', '\x074cd1271c4c48b495ea757dd5f0207a', '', '', '', 0, '', '', '{}', '{}', NULL, '', NULL, NULL, NULL, '1a2b3c4d', '2026-04-01 12:00:00+00', false, '');
INSERT INTO public.medical_cards (signup_id, hike_id, key_id, wrapped, action, body, written) VALUES
	('22ec1fd6-34ca-447a-9140-5218eb4d65a5', 1, '\x15dcfd3687e1ab64', '\x9f09f9e1d6134a49f7a0ed5a13014e71db4b055b5cda63d648e1fb7ff6b9a15804e2cb7760134120bc368412476ec082d33327dac60ee00c03b34a8d', '\x77c34489f9f9832726cf564bf0c9a41438ed5f688d4e066ffa1e54450bd78e37c9c6c3b198fdf5fb02031e31e2610cecf5ae1e9abb0b60e44a86176db2e15aecf1cf94d7bd0255e6d4294cb9e4e8f8c919ab1cdfdeb1298ddea0d5d0ed03243907c257fb05bba03594464f0edc555f4b85cb26240c053c7a13978858e2c239e7eb9fc554739869507347ba64707c8f827641531066939d01df9bf2746663fbcb639973abaa554e251269c9e57ba4491ccbc0fb5f19c6aef6952f648510b39f54da0b0d17a4e4902d5666a49a6f5a6c5e8b2fb9d6bc4547a603d7acc42e7f2264508f36b5fa299c7dda63e8956a6413e6e9a43bb5b942f2bd13df57163087aefc8c31e82ad762ce47e0dff7c9ba52ce3dac9b3f84906b7d0db57eb886', '\x250aca3ae2641fd6db8cd5251fcb6ae41d0c953f1786b308c0aa53f46eee6e118a202719093d59d30ab7c224c270b57fa986ea9bb124c12c0ad14765ee70a4be4d4de79acdf6afa7fd5ae3a5a73a21c62025f22a0a2f2eab54e89e9b38568df1b9ac8782c366f966ee60ff21aa9767a4ede5b80c10d196896f08a3778b471c7eba0b8b9de36030dd4e1c4b8961773332ff20ceb79b81e88294c9fd3a2632f42f9d4aaea70e07460fc2d87eff16b1613490fc032414012fe97eae70d4ca1ae5912edd743135b667d7bf9bacae00f4c13486bbd2613b67cf76b9a9d81974e181f5dbb202c7bf7603e3987b463ff66581de0a49d3d093774cc5f9612448e6139272505d8f1a57f42cb488634d4480a51ff323408a5269b19f8fbd6214bb', '2026-04-01 12:00:00+00'),
	('30170d3f-9b57-432a-816b-12a7820590ef', 1, '\x15dcfd3687e1ab64', '\xfa1f5a4a438364a2536bdd7010397fead038aeb3f391a693b9008f4f55a797306f3ac0b7f04f868da797a33eaf90ca50bad939201e61e459ae2cd0cd', '\x62f98f75609bda292ef50e56774b7fd3b38005f69c7bed9d31d559f79ca4f362cbd83581f08a6d725f96882b95e41e90abbefe437d437ea8c0b36f38dc03743f61b97c500fe367921e709a2ae634393e0ccb088c5c68ca09438747171e9c5329ff337a1999670866d70b8771cb62648dbdc0a927df648c615aed87595a30965668815ab025791dfa8e667ad0007f81ec23c6eb23dd33c7a44bfb8094706b05551d4b1e4546dddfbc4b1e5698ac6853b836a235ef1da68fe14cc25b2649d4cc77c18b8cd2d073c931e2cd50cebff258f9a948ce42b3027c79a271b233c362f4bf33215b121dfcda7f7e25876199c330b5c6fc1045c39fc7d934d595948814f9e58ae84de93905362af697336354a2375e92516962490064f9c58615bc', '\x4f99bca33c73e9577584a38812f79a92f7f19a498b7f576c1e3662f83ed02fe8d9e11d78309b7dab9cb9c65e1ae2fb7e12bcaab01d84f8f73a4704f56db02843bfc726339319fbb54ab0a04432dfb653033b23025e815766c5a26c69cb240ec34b09969982d62da8c3ca678291eb4ff97f467b022782efd9bfeee47771873a5dbf5a22132b7ab662e7daecb72117e2e188c18b09e43466a695cb4da59d702185149a3825e7c1e70812b29fce5f48f5c77e00c59ed8a95c367044418b0c35a232a7b55775dc887af96e4037b05056378cffffadec9de90a34ab94577ea84a6abcd0d3c05b0a2d605ad2a2e91b4ac79d2ae229a43cbcaac0d74a7192c34f3668b5931d5674821a6d6f271f593a32d9caa2c7c5e69f28c28db01fc02d10', '2026-04-01 12:00:00+00'),
	('d6189f04-6716-4bf2-9e8b-83251df097bc', 1, '\x15dcfd3687e1ab64', '\xf7fe2b2ab0ff7f080726f01fb9c72c00b328f596d627cb61869dfc7ce3b7a782370d59bd2ca5d237a25886737b0cae45d0655eb70886cccebc06a2af', '\x08a5889439bd4513995f18209acc1e0fe40ac1e9480adbd19dc08015cbf5d371062d99428287a7cb274c74bad525004123be00dc97360ba359372536811379c1d01b7cfc49cd24b9463f8e6b5b2e15f5215b724a53b07b604159c5a764521a440ee1f0a3bc509e3370e5ae0e0b79fb5d2eeb2dc985d4589077def351606f99a1a2b9162f4e34be58acca8c1c7ad191541403b9be8ed000836c246c1871749784f8d967022e23cf2e14e0c38337073dc50af37a1aa3157a26cb93185fd7f9ee681280386861ddbbe232b0406d74580135aeb6776b778eb4568309e4869b7d98ad827d53de00ae98cbf69fa2a3e8535f6eba79f6fd96ae32880b2a764e5c6c56cb5008e7cb1512013419568d9227fc3b0e567bf4b913c2e5458ce7f762', '\x6d4e12e0723638d37700c9d7c8d6db63eb347d276719518cf385e1c070f4b83155e672eb20be1d18a7fd1485b16a73b7410102cbbde2e24a401fc236fb723b673c98fb4a518ac4240cb4e300e54ae943ff28566c92284ddd77a6664be0e963ca60181dd2029598848de255c7a218f3009a075b97d69d1b6cee9c2fd52a8ac74bf3d25e70b4c605fd8f4b7759d4f40992b71d18619a9dd9eaabe777520d0e2ad510fe8878f959bbd6d04a54274468a8ba59231ad5a32b0ab2fa02d16bac4f0778abc6a50e21790fdb46ce829fb687023cbd0668e936824ae3b619070eff0d820d26834845e374c54b2d255799a3989ff0b41a0bfcb2348b4b3d5b33daa7a0a929c7d5f837bc8cc11d658eff611daa1fc3ca6706c215deeaecddd295cb', '2026-04-01 12:00:00+00'),
	('c6892539-a309-443e-a6b0-4a734bcf6aa7', 2, '\x15dcfd3687e1ab64', '\x99d7c3516a8fc47b7206fabd02294545880819c8c0bb068eb0646fa927d63c35033d7bc49e3a54794be5e65ba505e8bd067468624b4e469591240d01', '\x7767f1c79976206cd16df8c015435ef96b38d264a89b11f4c1cf50bfcfd326cd044601b1215f9ed63f25b120733acefd877b4c6ebcd3d61c6cf752a07aaab9a31b0b5d71b343882e47c7a2e17e5fa49cfe81007713aa1d9d2c93626d924fab3786924f7918af2e8c8689ca4671fad612422de9e4bd69f0f967f86daa5d66659f1d79438c63eb880d14604a96c72f4a5b9e465f568491697314e9d3f5549999d967724f602502bb71af93e5bb1f458fc98e4dc1594fc162a7211fa53da3ad8c7bddf27a0bf342f62a22f075502d4621407847a3268e6b5b7cb24618dd31ea3f654285f3f935ba14e242bc74dd0790cf3e5767cbb7e1b1229fe2d6b58d3f233c437f1a7713fd908d553f29743263aabe022d0df83ac7b84f19a62f45e6', '\xc6e2723eaaa0c3606e5afd28136befabc33bed5a7bba9ce53e17fc4f6a9b3970a55d9eb1791a299ccdc0db8fa06d5ce6d43e054c4eef194990615468e3bd6b809c123cb402786ef6e132f242e9c70504d5fcd4fe369907b94c6b73f912145697517e2086a743d63f7c556396f2ccf664111738e84d3371fb0a12505a3347ece9ecb21b5b521b56449a26d2b90714f97a3148389defc258b95780197802ccc4671747e4ec04f76e15f2943440b14bf2dda3767dff45f8c0f73de4eb951dd7fcc53eddebdf2b620df0b04627a79eea0506b7e04fcd7bcbefa4cbe9bbcd8afb0d417f13e6427ebf5f0af6756b812a625a3917947e08e9aa1e8ae611ce06893fd67e075fbd1f7af06be589f56713e3048bce9b58248171078add57166245', '2026-04-01 12:00:00+00');
INSERT INTO public.observed_hikes (id, account_id, day, trail, mentor, skills, result, note) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-03-12', 'Dry Fork', 'Ines Calder', '{"roll and count"}', 'ready', '');
INSERT INTO public.outbox (id, key, recipient, subject, body, attached, state, created, next_try, useless_at, sent, tries, last_error, channel, topic, stop) OVERRIDING SYSTEM VALUE VALUES
	(1, 'k', 'planted-mail@example.org', 'planted-mail', 'planted-mail', '[]', 'sent', '2026-04-01 12:00:00+00', '2026-04-01 12:00:00+00', NULL, NULL, 0, '', 'mail', '', ''),
	(2, 'decided/1', 'w10@example.org', 'It goes', 'It goes as planned.', '[]', 'queued', '2026-04-01 12:00:00+00', '2026-04-01 12:00:00+00', NULL, NULL, 0, '', 'mail', '', '');
INSERT INTO public.passkeys (id, account_id, handle, name, credential, made, last_used) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, '\x68616e646c65', 'Phone', '{"id": "x"}', '2026-04-01 12:00:00+00', NULL);
INSERT INTO public.plans (id, hike_id, made, made_by, model, inputs, result) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-04-01 12:00:00+00', 'Ines Calder', '', '{"pace": "", "staff": 0, "start": "0001-01-01T00:00:00Z", "trail": 0, "forecast": {"cloud": 0, "low_c": 0, "high_c": 0, "wind_m_s": 0, "dew_point_c": 0}, "acclimatised": false, "participants": 0}', '{"sun": {"sunset": null, "sunrise": null, "civil_dawn": null, "civil_dusk": null}, "food": {"kcal_per_h_low": 0, "kcal_per_h_high": 0, "before_start_kcal": 0, "carry_kcal_per_person": 0}, "heat": {"hours": null, "off_by": null, "peak_at": null, "peak_air_c": 0, "worst_hour": {"to": null, "from": null, "work_w": 0, "mean_wbgt_c": 0, "limit_wbgt_c": 0}, "peak_wbgt_c": 0, "limit_wbgt_c": 0, "alert_limit_wbgt_c": 0, "exposure_limit_wbgt_c": 0}, "time": {"pace": {"stride_up_m": 0, "steps_per_min": 0, "stride_down_m": 0, "stride_level_m": 0}, "p50_s": 7200, "p90_s": 10800, "points": null, "breaks_s": 0, "moving_p50_s": 0, "second_opinions": null}, "model": "", "trail": {"notes": null, "rating": {"class": "", "number": 0}, "ascent_m": 0, "lowest_m": 0, "descent_m": 0, "highest_m": 0, "distance_m": 0, "steepest_percent": 0}, "water": {"load": {"share_of_body_percent": 0}, "bottles": "", "refills": null, "body_sizes": null, "drink_l_per_h": 0, "before_start_l": 0, "group_reserve_l": 0, "carry_l_per_person": 0, "carry_without_refills_l": 0}, "return": {"call": null, "watch": null, "expected": null}, "verdict": {"instead": null, "reasons": null, "decision": ""}, "cautions": null, "official": {"warning": "", "heat_level": null, "storm_chance": null, "air_quality_index": null}, "turnaround": {"at": null, "points": null, "start_by": null, "off_trail_by": null}, "short_option": null, "start_window": {"best": null, "latest": null, "limits": null, "starts": null, "earliest": null, "with_care": null}}');
INSERT INTO public.push_keys (one, private, made) VALUES
	(true, '\x70726976617465', '2026-04-01 12:00:00+00');
INSERT INTO public.push_subscriptions (id, account_id, slot, endpoint, p256dh, auth, label, made, ended, ended_why) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, 1, 'https://push.example.org/1', '\x70', '\x61', 'Phone', '2026-04-01 12:00:00+00', NULL, '');
INSERT INTO public.retirements (id, hike_id, kind, gone, at, by_whom) OVERRIDING SYSTEM VALUE VALUES
	(1, 3, 'medical cards', 0, '2026-04-04 12:00:00+00', 'the test'),
	(2, 3, 'plates', 0, '2026-04-04 12:00:00+00', 'the test'),
	(3, 3, 'contacts', 1, '2026-04-04 12:00:00+00', 'the test'),
	(4, 3, 'names', 1, '2026-04-04 12:00:00+00', 'the test');
INSERT INTO public.retiring_days (day, at, by_whom) VALUES
	('2026-04-04', '2026-04-04 12:00:00+00', 'the test');
INSERT INTO public.rides (hike_id, person, shares, town, car, told, told_times) VALUES
	(1, '22ec1fd6-34ca-447a-9140-5218eb4d65a5', '2026-04-01 12:00:00+00', 'planted-plat town', '{"Plate": "planted-plat"}', '', 0),
	(2, 'a6eadc8a-4a34-43cf-a0ef-8546c2c2357e', NULL, '', '{"Lot": "", "Make": "", "Plate": "S 1", "Seats": 3, "Colour": "red"}', '', 0),
	(2, 'c6892539-a309-443e-a6b0-4a734bcf6aa7', '2026-04-01 12:00:00+00', 'Dry Mills', NULL, '', 0);
INSERT INTO public.risk_texts (version, text, since) VALUES
	('1a2b3c4d', 'Heat can kill.', '2026-04-01 12:00:00+00');
INSERT INTO public.roll_events (id, hike_id, seq, at, recorded, body) OVERRIDING SYSTEM VALUE VALUES
	('79ef3e8e-0d2a-4527-ab37-841a543ce0bb', 1, 1, '2026-04-04 11:40:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T11:40:00Z", "by": "planted-name recorder", "id": "79ef3e8e-0d2a-4527-ab37-841a543ce0bb", "kind": "here", "persons": ["22ec1fd6-34ca-447a-9140-5218eb4d65a5"]}'),
	('bff112db-4147-4fc4-95a6-b902b15fe95b', 1, 2, '2026-04-04 11:50:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T11:50:00Z", "by": "planted-name recorder", "id": "bff112db-4147-4fc4-95a6-b902b15fe95b", "kind": "joined", "name": "planted-name walk-up", "note": "planted-cont", "agreed": true, "contact": "planted-cont", "persons": ["267f0093-ff00-44f6-bb51-17090723f989"]}'),
	('32cf36a9-df3f-4b6e-bd70-b8d097644b29', 1, 3, '2026-04-04 11:55:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T11:55:00Z", "by": "planted-name recorder", "id": "32cf36a9-df3f-4b6e-bd70-b8d097644b29", "kind": "plate-seen", "plates": ["planted-plat"], "persons": ["22ec1fd6-34ca-447a-9140-5218eb4d65a5"]}'),
	('0cbb9fbe-102d-4811-8b0e-78106ecb864a', 1, 4, '2026-04-04 12:00:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T12:00:00Z", "by": "planted-name recorder", "id": "0cbb9fbe-102d-4811-8b0e-78106ecb864a", "kind": "departed", "note": "planted-name note", "number": 2, "against": ["planted-name against"], "persons": ["22ec1fd6-34ca-447a-9140-5218eb4d65a5", "267f0093-ff00-44f6-bb51-17090723f989"]}'),
	('9fc0dd9f-9699-4f20-a188-fab5d9ae2504', 1, 5, '2026-04-04 13:00:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T13:00:00Z", "by": "planted-name recorder", "id": "9fc0dd9f-9699-4f20-a188-fab5d9ae2504", "kind": "counted", "place": "Fork", "number": 2, "seen_by": "planted-name"}'),
	('fb211d76-c240-42b5-b0a7-ee1cb07ee288', 1, 6, '2026-04-04 13:10:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T13:10:00Z", "by": "planted-name recorder", "id": "fb211d76-c240-42b5-b0a7-ee1cb07ee288", "to": "planted-name", "kind": "reported", "note": "planted-name report", "trouble": true}'),
	('f09f8a6f-761f-49ea-9f51-c50c99401235', 1, 7, '2026-04-04 17:00:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T17:00:00Z", "by": "planted-name recorder", "id": "f09f8a6f-761f-49ea-9f51-c50c99401235", "kind": "back", "persons": ["22ec1fd6-34ca-447a-9140-5218eb4d65a5", "267f0093-ff00-44f6-bb51-17090723f989"]}'),
	('0dbe9403-692d-45be-8029-c88c7e18bf5a', 1, 8, '2026-04-04 17:10:00+00', '2026-04-04 17:20:00+00', '{"at": "2026-04-04T17:10:00Z", "by": "planted-name recorder", "id": "0dbe9403-692d-45be-8029-c88c7e18bf5a", "kind": "stood-down"}'),
	('dfd835c6-08a2-4c4e-9d9a-c93bd47dafdf', 2, 9, '2026-04-04 12:00:00+00', '2026-04-04 12:00:00+00', '{"at": "2026-04-04T12:00:00Z", "by": "Juniper Vale", "id": "dfd835c6-08a2-4c4e-9d9a-c93bd47dafdf", "kind": "departed", "number": 1, "persons": ["c6892539-a309-443e-a6b0-4a734bcf6aa7"]}');
INSERT INTO public.scout_reports (id, trail_id, walked, by_whom, times, conditions, hazards, noted) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-03-25', 'Ines Calder', '2 h up', 'dry', 'a loose step', '2026-04-01 12:00:00+00');
INSERT INTO public.sessions (token, data, expiry) VALUES
	('token', '\x64617461', '2026-04-01 12:00:00+00');
INSERT INTO public.shuttles (hike_id, end_lot, minutes, by_whom, at, opened) VALUES
	(2, 'Far gate', 25, 'Ines Calder', '2026-04-01 12:00:00+00', NULL);
INSERT INTO public.sign_ins (id, account_id, began, last_seen, device, network, second) VALUES
	('c316a5cf-9581-4a2c-96cf-269fcff40108', 1, '2026-04-01 12:00:00+00', '2026-04-01 12:00:00+00', 'a phone', '10.0.0.0', false);
INSERT INTO public.staff_declines (hike_id, account_id, role, because, at, name) VALUES
	(2, NULL, 'on-call', 'away that week', '2026-04-01 12:00:00+00', 'Rosa Lind');
INSERT INTO public.standings (id, account_id, from_day, level, max_class, endorsements, status, reason, by, written) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, '2025-02-25', 'leader', 'strenuous', '{heat}', 'active', 'two hikes observed', 'Juniper Vale', '2026-04-01 12:00:00+00'),
	(2, 1, '2026-03-29', 'leader', 'strenuous', '{}', 'lapsed', 'CPR ended', 'Juniper Vale', '2026-04-01 12:00:00+00');
INSERT INTO public.tellings (id, hike_id, at, by_whom, outcome, words, consent, meet, trail, stands) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-04-01 12:00:00+00', 'Ines Calder', 'go', 'It goes as planned.', false, '2026-04-04 11:30:00+00', 'Dry Fork', 'Juniper Vale');
INSERT INTO public.told (telling_id, signup_id, link, remind, reminder, read, account_id) VALUES
	(1, NULL, '\x6c696e6b206f6620696e6573', NULL, '', NULL, 1),
	(1, 'c6892539-a309-443e-a6b0-4a734bcf6aa7', '\x6c696e6b206f6620616d617961', '2026-04-01 13:00:00+00', 'remind/1', '2026-04-01 12:01:00+00', NULL);
INSERT INTO public.trail_normals (trail_id, normals, source, typed, typed_by) VALUES
	(2, '[]', 'a service', '2026-04-01 12:00:00+00', 'Ines Calder');
INSERT INTO public.trail_points (id, trail_id, kind, name, along_m, note, water_seen) OVERRIDING SYSTEM VALUE VALUES
	(1, 1, 'junction', 'Fork', 400, '', NULL),
	(2, 2, 'junction', 'Fork', 400, '', NULL),
	(3, 3, 'junction', 'Fork', 400, '', NULL);
INSERT INTO public.trail_uploads (trail_id, gpx) VALUES
	(1, '\x3c6770782f3e'),
	(2, '\x3c6770782f3e'),
	(3, '\x3c6770782f3e');
INSERT INTO public.two_steps (account_id, asked, key, since, last_step, wrong, until, recovery) VALUES
	(2, '2026-04-01 12:00:00+00', NULL, NULL, 0, 0, NULL, '{}');
INSERT INTO public.waivers (person, hike_id, name, minor, guardian, consented, risk_version, risk_accepted, goes) VALUES
	('e559d176-5987-492f-9f50-c4606d2e742f', 3, 'Walker 020', false, '', NULL, '1a2b3c4d', '2026-04-01 12:00:00+00', '2029-02-27 12:00:00+00');
INSERT INTO public.watch_log (id, hike_id, at, kind, by_whom, note, step, round, due, late_by, recipient, channel, outcome, ref) OVERRIDING SYSTEM VALUE VALUES
	(1, 2, '2026-04-04 16:00:00+00', 'step', '', '', 'card', 1, '2026-04-04 12:00:00+00', '04:00:00', 'Rosa', 'none', '', ''),
	(2, 2, '2026-04-04 16:00:00+00', 'step', '', '', 'watch', 1, '2026-04-04 15:00:00+00', '01:00:00', 'Rosa', 'none', '', ''),
	(3, 2, '2026-04-04 16:00:00+00', 'step', '', '', 'watch-coordinator', 1, '2026-04-04 15:10:00+00', '00:50:00', 'Rosa', 'none', '', ''),
	(4, 2, '2026-04-04 16:00:00+00', 'step', '', '', 'call', 1, '2026-04-04 15:30:00+00', '00:30:00', 'Rosa', 'none', '', ''),
	(5, 2, '2026-04-04 16:00:00+00', 'step', '', '', 'call-again', 1, '2026-04-04 15:40:00+00', '00:20:00', 'Rosa', 'none', '', '');
INSERT INTO public.watch_pulse (one, passed, by_whom, failed) VALUES
	(true, '2026-04-01 12:00:00+00', 'here', 0);
INSERT INTO public.watch_rungs (hike_id, step, round, planned, look, state, fired, trouble) VALUES
	(2, 'card', 1, '2026-04-04 12:00:00+00', '2026-04-04 12:00:00+00', 'fired', '2026-04-04 16:00:00+00', ''),
	(2, 'watch', 1, '2026-04-04 15:00:00+00', '2026-04-04 15:00:00+00', 'fired', '2026-04-04 16:00:00+00', ''),
	(2, 'watch-coordinator', 1, '2026-04-04 15:10:00+00', '2026-04-04 15:10:00+00', 'fired', '2026-04-04 16:00:00+00', ''),
	(2, 'call', 1, '2026-04-04 15:30:00+00', '2026-04-04 15:30:00+00', 'fired', '2026-04-04 16:00:00+00', ''),
	(2, 'call-again', 1, '2026-04-04 15:40:00+00', '2026-04-04 15:40:00+00', 'fired', '2026-04-04 16:00:00+00', '');
SELECT pg_catalog.setval('public.absences_id_seq', 1, true);
SELECT pg_catalog.setval('public.accounts_id_seq', 2, true);
SELECT pg_catalog.setval('public.audit_log_id_seq', 4, true);
SELECT pg_catalog.setval('public.calendar_feeds_id_seq', 1, true);
SELECT pg_catalog.setval('public.certificate_kinds_made_seq', 4, true);
SELECT pg_catalog.setval('public.certificates_id_seq', 1, true);
SELECT pg_catalog.setval('public.closures_id_seq', 1, true);
SELECT pg_catalog.setval('public.day_links_id_seq', 2, true);
SELECT pg_catalog.setval('public.hikes_id_seq', 3, true);
SELECT pg_catalog.setval('public.house_changes_id_seq', 1, true);
SELECT pg_catalog.setval('public.legal_holds_id_seq', 1, true);
SELECT pg_catalog.setval('public.observed_hikes_id_seq', 1, true);
SELECT pg_catalog.setval('public.outbox_id_seq', 2, true);
SELECT pg_catalog.setval('public.passkeys_id_seq', 1, true);
SELECT pg_catalog.setval('public.plans_id_seq', 1, true);
SELECT pg_catalog.setval('public.push_subscriptions_id_seq', 1, true);
SELECT pg_catalog.setval('public.retirements_id_seq', 4, true);
SELECT pg_catalog.setval('public.roll_events_seq_seq', 9, true);
SELECT pg_catalog.setval('public.scout_reports_id_seq', 1, true);
SELECT pg_catalog.setval('public.signups_asked_order_seq', 11, true);
SELECT pg_catalog.setval('public.standings_id_seq', 2, true);
SELECT pg_catalog.setval('public.tellings_id_seq', 1, true);
SELECT pg_catalog.setval('public.trail_points_id_seq', 3, true);
SELECT pg_catalog.setval('public.trails_id_seq', 3, true);
SELECT pg_catalog.setval('public.watch_log_id_seq', 5, true);
